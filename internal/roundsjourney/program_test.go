package roundsjourney

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/walk"
)

func TestMain(m *testing.M) {
	walk.Main(m, map[string]string{"chromium": "chromium", "ffmpeg": "ffmpeg", "pdftoppm": "poppler-utils"})
}

// store is a store in a folder of its own, with the program that serves it.
type store struct {
	*walk.Program
	t       *testing.T
	dir     string
	vessels []string // three casks, filled
}

func newStore(t *testing.T) *store {
	t.Helper()
	s := &store{t: t, dir: filepath.Join(t.TempDir(), "data")}
	vessels, entries := "code,kind,capacity_l,wood,wood_state,place,tare_kg\n", "when,entry,vessel,from,volume_l,strength_pct\n"
	filled := time.Now().AddDate(-1, 0, 0).Format(time.DateOnly)
	for n := range 3 {
		code := cellar.IssueCode(uint64(n))
		s.vessels = append(s.vessels, code)
		vessels += fmt.Sprintf("%s,cask,50,oak,new,\"West barn, row %d\",14\n", code, n+1)
		entries += fmt.Sprintf("%s,fill,%s,rye 1,45,62\n", filled, code)
	}
	files := map[string]string{
		"vessels": vessels, "entries": entries,
		"batches": "batch,made_on,volume_l,strength_pct,grains\nrye 1," + filled + ",200,62,rye:1\n",
	}
	args := []string{"import", "--data", s.dir}
	for name, text := range files {
		path := filepath.Join(t.TempDir(), name+".csv")
		walk.Must(t, os.WriteFile(path, []byte(text), 0o600))
		args = append(args, "--"+name, path)
	}
	s.croze(args...)
	s.Program = walk.Start(t, "serve", "--data", s.dir)
	return s
}

// croze runs a command of the program that ends by itself.
func (s *store) croze(args ...string) {
	s.t.Helper()
	if out, err := walk.Croze(s.t, args...).CombinedOutput(); err != nil {
		s.t.Fatalf("croze %s: %v\n%s", strings.Join(args, " "), err, out)
	}
}

// setPassword locks the store, which must not be served meanwhile.
func (s *store) setPassword(password string) {
	s.t.Helper()
	cmd := walk.Croze(s.t, "password", "--data", s.dir)
	cmd.Stdin = strings.NewReader(password + "\n")
	if out, err := cmd.CombinedOutput(); err != nil {
		s.t.Fatalf("croze password: %v\n%s", err, out)
	}
}

// does has another person record something, as programs do.
func (s *store) does(request map[string]any) {
	s.t.Helper()
	body, err := json.Marshal(request)
	walk.Must(s.t, err)
	response, err := http.Post(s.Base+"/api/entries", "application/json", bytes.NewReader(body))
	walk.Must(s.t, err)
	defer response.Body.Close()
	said, err := io.ReadAll(response.Body)
	walk.Must(s.t, err)
	if response.StatusCode != http.StatusCreated {
		s.t.Fatalf("%s: status %d: %s", body, response.StatusCode, said)
	}
}

// recorded is an entry of the journal as the export has it.
type recorded struct {
	ID   string
	Kind string
	Body struct {
		Vessel string
		Note   string
		Senses struct{ Colour, Nose, Photo string }
	}
}

// entries are those of a kind that the journal holds.
func (s *store) entries(kind string) (found []recorded) {
	s.t.Helper()
	response, err := http.Get(s.Base + "/book/export")
	walk.Must(s.t, err)
	defer response.Body.Close()
	lines := json.NewDecoder(response.Body)
	for lines.More() {
		var e recorded
		walk.Must(s.t, lines.Decode(&e))
		if e.Kind == kind {
			found = append(found, e)
		}
	}
	return found
}
