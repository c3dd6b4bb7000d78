package server_test

import (
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/keep"
	"example.org/croze/internal/server"
)

// backedUp serves a store on the disk whose backups are kept, and returns the
// folder that they go into.
func backedUp(t *testing.T) (house, string) {
	t.Helper()
	dir := t.TempDir()
	j, err := journal.Open(filepath.Join(dir, journal.FileName))
	must(t, err)
	t.Cleanup(func() { must(t, j.Close()) })
	h := house{t: t, now: new(time.Time)}
	*h.now = today
	clock := func() time.Time { return *h.now }
	h.book, err = book.Open(j, book.Edge{Now: clock, NewID: ids(3)})
	must(t, err)
	folder := filepath.Join(dir, "backups")
	keeper, err := keep.New(j, keep.Plan{Dir: folder, Every: 24 * time.Hour, Keep: 2}, clock)
	must(t, err)
	h.app, err = server.New(h.book, server.Options{Backups: keeper, Log: slog.New(slog.DiscardHandler)})
	must(t, err)
	return h, folder
}

func TestBackupsPage(t *testing.T) {
	h, folder := backedUp(t)
	if a := h.get("/book/backups"); a.status != http.StatusOK || !a.says("There is no verified backup.") {
		t.Errorf("before the first: status %d", a.status)
	}
	if a := h.get("/"); !a.says("Register a vessel") {
		t.Error("an empty book does not say how to begin")
	}
	if a := h.post("/book/backups", nil); a.status != http.StatusSeeOther {
		t.Fatalf("back up now: status %d: %s", a.status, a.body)
	}
	if files, err := os.ReadDir(folder); err != nil || len(files) != 1 {
		t.Errorf("in the folder are %v (%v)", files, err)
	}
	if a := h.get("/book/backups"); !a.says("croze-20261125T120000Z.db") || !a.says("<dd>2026-11-25 12:00</dd>") || a.says("is old") {
		t.Error("the page does not show the backup")
	}
	*h.now = today.Add(49 * time.Hour)
	if a := h.get("/book/backups"); !a.says("The last verified backup is old.") {
		t.Error("the page does not say that it is old")
	}
}

// Today asks for a backup when the last that was verified is old.
func TestTodayAsksForABackup(t *testing.T) {
	h, _ := backedUp(t)
	_, err := h.book.RegisterNewVessel("", "keeper", cellar.Vessel{Code: spare, Kind: cellar.Cask, CapacityL: 30, Wood: "oak"})
	must(t, err)
	h.record(cellar.Request{When: today.AddDate(0, 0, -30), Entry: "fill", Vessel: spare, VolumeL: number(29), StrengthPct: number(60)})
	if a := h.get("/"); !a.says("Back up the book") || !a.says("none has been made and verified yet") {
		t.Error("Today does not ask for the first backup")
	}
	if a := h.post("/book/backups", nil); a.status != http.StatusSeeOther {
		t.Fatalf("status %d", a.status)
	}
	if a := h.get("/"); a.says("Back up the book") {
		t.Error("Today asks for a backup that was just made")
	}
	*h.now = today.Add(49 * time.Hour)
	if a := h.get("/"); !a.says("Back up the book") || !a.says("2026-11-25") {
		t.Error("Today does not ask when it is old")
	}
}

// A backup that cannot be made says so on the page.
func TestABackupThatFailsSaysSo(t *testing.T) {
	h, folder := backedUp(t)
	must(t, os.WriteFile(folder, []byte("a file in its way"), 0o600))
	if a := h.post("/book/backups", nil); a.status != http.StatusInternalServerError || !a.says("No backup was made.") {
		t.Errorf("status %d", a.status)
	}
}

func TestBackupsPageWithoutBackups(t *testing.T) {
	h := smallHouse(t)
	if a := h.get("/book/backups"); a.status != http.StatusOK || !a.says("No backups are made") {
		t.Errorf("status %d", a.status)
	}
	if a := h.post("/book/backups", nil); a.status != http.StatusNotFound {
		t.Errorf("back up now: status %d", a.status)
	}
}
