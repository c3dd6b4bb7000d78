package storm

import (
	"bufio"
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/oklog/ulid/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/label"
	"example.org/croze/internal/server"
	"example.org/croze/labels"
)

// serveVariable makes a second process of this test program serve the store at
// the path in it, until it is killed or its input ends.
const serveVariable = "CROZE_STORM_SERVE"

func TestMain(m *testing.M) {
	path := os.Getenv(serveVariable)
	if path == "" {
		os.Exit(m.Run())
	}
	if err := serveForEver(path); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func serveForEver(path string) error {
	j, err := journal.Open(path)
	if err != nil {
		return err
	}
	b, err := book.Open(j, realEdge())
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(context.Background())
	go func() {
		_, _ = io.Copy(io.Discard, os.Stdin)
		stop()
	}()
	if err := serve(ctx, b, func(at net.Addr) { fmt.Println(at) }); err != nil {
		return err
	}
	b.Wait()
	return j.Close()
}

func realEdge() book.Edge {
	return book.Edge{Now: time.Now, NewID: func(t time.Time) string { return ulid.MustNew(ulid.Timestamp(t), rand.Reader).String() }}
}

// serve opens a book's pages on this machine.
func serve(ctx context.Context, b *book.Book, ready func(net.Addr)) error {
	layouts, err := label.Layouts(labels.Files)
	if err != nil {
		return err
	}
	app, err := server.New(b, server.Options{Layouts: layouts, Log: slog.New(slog.NewTextHandler(os.Stderr, nil))})
	if err != nil {
		return err
	}
	return server.Serve(ctx, app, "127.0.0.1:0", nil, ready)
}

// storeWithTanks makes a furnished store in a folder of its own.
func storeWithTanks(t *testing.T) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), journal.FileName)
	j, err := journal.Open(path)
	must(t, err)
	b, err := book.Open(j, book.Edge{Now: func() time.Time { return start }, NewID: func(time.Time) string { return idOf(99, 0) }})
	must(t, err)
	furnish(t, b)
	b.Wait()
	must(t, j.Close())
	return path
}

// child serves a store in a process of its own and returns its address.
func child(t *testing.T, path string) (*exec.Cmd, io.WriteCloser, string) {
	t.Helper()
	self, err := os.Executable()
	must(t, err)
	cmd := exec.Command(self)
	cmd.Env = append(os.Environ(), serveVariable+"="+path)
	cmd.Stderr = os.Stderr
	stdin, err := cmd.StdinPipe()
	must(t, err)
	stdout, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	line, err := bufio.NewReader(stdout).ReadString('\n')
	must(t, err)
	return cmd, stdin, "http://" + line[:len(line)-1]
}

// caller talks to a server as a phone or a desk does.
type caller struct {
	http    *http.Client
	address string
	token   string // "": none is asked for
}

func newCaller(address, token string) *caller {
	return &caller{&http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 2}}, address, token}
}

// ask sends a request and returns the status with what came back.
func (c *caller) ask(method, path string, body any) (int, []byte, error) {
	var sent io.Reader
	if body != nil {
		data, err := json.Marshal(body)
		if err != nil {
			return 0, nil, err
		}
		sent = bytes.NewReader(data)
	}
	r, err := http.NewRequest(method, c.address+path, sent)
	if err != nil {
		return 0, nil, err
	}
	r.Header.Set("Content-Type", "application/json")
	if c.token != "" {
		r.Header.Set("Authorization", "Bearer "+c.token)
	}
	response, err := c.http.Do(r)
	if err != nil {
		return 0, nil, err
	}
	defer response.Body.Close()
	data, err := io.ReadAll(response.Body)
	return response.StatusCode, data, err
}

// sentEntry is what a phone sends.
type sentEntry struct {
	ID   string `json:"id"`
	Sure bool   `json:"sure"`
	cellar.Request
}

// logs sends a draw of the day before every story begins, which no clock finds
// in the future.
func (c *caller) logs(id, code string) (status int, body []byte, err error) {
	return c.ask(http.MethodPost, "/api/entries", sentEntry{id, true, draw(id, "", code, start.AddDate(0, 0, -1), 5).Request})
}

// countByID reads how often each entry is in a journal.
func countByID(t *testing.T, j journal.Journal) map[string]int {
	t.Helper()
	times := make(map[string]int)
	must(t, j.Read(1, func(e journal.Entry) error {
		times[e.ID]++
		return nil
	}))
	return times
}
