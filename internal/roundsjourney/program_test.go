package roundsjourney

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"example.org/croze/internal/cellar"
)

// tools are what the tests run, with the Debian package that has it.
var tools = map[string]string{"chromium": "chromium", "ffmpeg": "ffmpeg", "pdftoppm": "poppler-utils"}

func TestMain(m *testing.M) {
	os.Exit(run(m))
}

func run(m *testing.M) int {
	for tool, name := range tools {
		if _, err := exec.LookPath(tool); err != nil {
			fmt.Fprintf(os.Stderr, "%s is not installed: apt-get install %s, or let go run ./cmd/check do it\n", tool, name)
			return 1
		}
	}
	dir, err := os.MkdirTemp("", "croze-rounds-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	binary = filepath.Join(dir, "croze")
	return m.Run()
}

// binary is where the program is, once built says so.
var binary string

var built = sync.OnceValue(func() error {
	out, err := exec.Command("go", "build", "-o", binary, "example.org/croze/cmd/croze").CombinedOutput()
	if err != nil {
		return fmt.Errorf("the program does not build: %w\n%s", err, out)
	}
	return nil
})

// store is a store in a folder of its own, with the program that serves it.
type store struct {
	t       *testing.T
	dir     string
	listen  string
	base    string
	vessels []string // three casks, filled
	cmd     *exec.Cmd
}

func newStore(t *testing.T) *store {
	t.Helper()
	must(t, built())
	s := &store{t: t, dir: filepath.Join(t.TempDir(), "data"), listen: "127.0.0.1:0"}
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
		must(t, os.WriteFile(path, []byte(text), 0o600))
		args = append(args, "--"+name, path)
	}
	s.croze(args...)
	s.start()
	t.Cleanup(s.stop)
	return s
}

// croze runs a command of the program that ends by itself.
func (s *store) croze(args ...string) {
	s.t.Helper()
	if out, err := exec.Command(binary, args...).CombinedOutput(); err != nil {
		s.t.Fatalf("croze %s: %v\n%s", strings.Join(args, " "), err, out)
	}
}

// setPassword locks the store, which must not be served meanwhile.
func (s *store) setPassword(password string) {
	s.t.Helper()
	cmd := exec.Command(binary, "password", "--data", s.dir)
	cmd.Stdin = strings.NewReader(password + "\n")
	if out, err := cmd.CombinedOutput(); err != nil {
		s.t.Fatalf("croze password: %v\n%s", err, out)
	}
}

var addressLine = regexp.MustCompile(`^Croze is at (http://(127\.0\.0\.1:\d+)) `)

// start serves the store, at the same address as before.
func (s *store) start() {
	s.t.Helper()
	s.cmd = exec.Command(binary, "serve", "--data", s.dir, "--listen", s.listen)
	s.cmd.Stderr = s.t.Output()
	out, err := s.cmd.StdoutPipe()
	must(s.t, err)
	must(s.t, s.cmd.Start())
	lines := bufio.NewReader(out)
	line, err := lines.ReadString('\n')
	match := addressLine.FindStringSubmatch(line)
	if match == nil {
		s.t.Fatalf("croze serve says %q, not its address: %v", line, err)
	}
	s.base, s.listen = match[1], match[2]
	go io.Copy(io.Discard, lines)
}

// stop ends the program: from then on there is no signal.
func (s *store) stop() {
	s.t.Helper()
	if s.cmd == nil {
		return
	}
	_ = s.cmd.Process.Signal(syscall.SIGTERM)
	if err := s.cmd.Wait(); err != nil {
		s.t.Errorf("croze serve: %v", err)
	}
	s.cmd = nil
}

// does has another person record something, as programs do.
func (s *store) does(request map[string]any) {
	s.t.Helper()
	body, err := json.Marshal(request)
	must(s.t, err)
	response, err := http.Post(s.base+"/api/entries", "application/json", bytes.NewReader(body))
	must(s.t, err)
	defer response.Body.Close()
	said, err := io.ReadAll(response.Body)
	must(s.t, err)
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
	response, err := http.Get(s.base + "/book/export")
	must(s.t, err)
	defer response.Body.Close()
	lines := json.NewDecoder(response.Body)
	for lines.More() {
		var e recorded
		must(s.t, lines.Decode(&e))
		if e.Kind == kind {
			found = append(found, e)
		}
	}
	return found
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
