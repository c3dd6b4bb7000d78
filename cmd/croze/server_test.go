package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/croze/internal/journal"
)

// heldStore is a store that another part of this process has open and gives
// copies of, as croze serve does.
func heldStore(t *testing.T) (dir string) {
	t.Helper()
	dir = exampleStore(t)
	s, err := journal.Open(filepath.Join(dir, journal.FileName))
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stopped := make(chan error, 1)
	go func() { stopped <- journal.ServeCopies(ctx, dir, s) }()
	t.Cleanup(func() {
		stop()
		if err := <-stopped; err != nil {
			t.Error(err)
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	for {
		if _, err := os.Stat(filepath.Join(dir, journal.SocketName)); err == nil {
			return dir
		}
		select {
		case err := <-stopped:
			t.Fatal(err)
		default:
		}
	}
}

// TestReadingWhileServed: what only reads works beside a server.
func TestReadingWhileServed(t *testing.T) {
	dir := heldStore(t)
	plan := filepath.Join(t.TempDir(), "plan.json")
	text := `{"kind":"blend","target":{"volume_l":10,"strength_pct":46},"sources":["2A2-A2C"],"water":true}`
	if err := os.WriteFile(plan, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"stock"}, {"stock", "--on", "2022-05-01"},
		{"forecast", "--at", "2030-01-01"},
		{"export"},
		{"check"},
		{"backup", filepath.Join(t.TempDir(), "copy.db")},
		{"labels", "--out", filepath.Join(t.TempDir(), "l.pdf"), "--public-url", "https://cellar.example"},
		{"plan", plan},
		{"import", "--dry-run", "--places", filepath.Join(imports, "places.csv")},
	} {
		if code, out, err := croze(append(args, "--data", dir)...); code != exitDone || err != "" {
			t.Errorf("croze %s: exit code %d, %q and %q", strings.Join(args, " "), code, out, err)
		}
	}
}

// TestWritingWhileServed: what writes is told who has the store.
func TestWritingWhileServed(t *testing.T) {
	dir := heldStore(t)
	code, out, err := croze("import", "--data", dir, "--entries", filepath.Join(imports, "entries.csv"))
	if code != exitBad || out != "" || !strings.Contains(err, "in use by another croze") {
		t.Errorf("exit code %d, %q and %q", code, out, err)
	}
}
