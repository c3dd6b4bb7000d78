package journeys

import (
	"context"
	"flag"
	"io"
	"net/http"
	"testing"
	"time"

	"example.org/croze/internal/walk"
)

var shots = flag.String("shots", "", "folder in which to leave pictures of the pages")

func TestMain(m *testing.M) {
	walk.Main(m, map[string]string{"chromium": "chromium", "zbarimg": "zbar-tools", "pdftoppm": "poppler-utils"})
}

// program is a running croze.
type program struct{ *walk.Program }

func start(t *testing.T, args ...string) program { return program{walk.Start(t, args...)} }

// get reads a page or file as a program does.
func (p program) get(t *testing.T, path string) (body []byte, kind string) {
	t.Helper()
	status, body, kind := p.ask(t, path)
	if status != http.StatusOK {
		t.Fatalf("%s: status %d: %.300s", path, status, body)
	}
	return body, kind
}

func (p program) ask(t *testing.T, path string) (status int, body []byte, kind string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, p.Base+path, nil)
	walk.Must(t, err)
	response, err := http.DefaultClient.Do(r)
	walk.Must(t, err)
	defer response.Body.Close()
	body, err = io.ReadAll(response.Body)
	walk.Must(t, err)
	return response.StatusCode, body, response.Header.Get("Content-Type")
}
