package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// unplayable is a journal whose chain is whole and whose second entry cannot
// have happened: a vessel is sampled that holds nothing.
func unplayable(t *testing.T) *journal.Memory {
	t.Helper()
	j := journal.NewMemory()
	var drafts []journal.Draft
	for i, fact := range []cellar.Fact{
		&cellar.VesselFact{Vessel: cellar.Vessel{Code: "A", Kind: cellar.Cask, CapacityL: 50}},
		&cellar.Sample{Vessel: "A", Note: "out of thin air"},
	} {
		body, err := json.Marshal(fact)
		if err != nil {
			t.Fatal(err)
		}
		at := june().AddDate(0, 0, i-9)
		drafts = append(drafts, journal.Draft{
			ID: edge.NewID(at), RecordedAt: at, HappenedAt: at, Who: "test", Kind: fact.Kind(), Body: body,
		})
	}
	if _, err := j.Append(journal.Head{}, drafts...); err != nil {
		t.Fatal(err)
	}
	return j
}

// exported writes a journal's export into a file.
func exported(t *testing.T, j journal.Journal) (path string) {
	t.Helper()
	var b bytes.Buffer
	if err := journal.Export(&b, j); err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(t.TempDir(), "journal.jsonl")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestRestoreOfWhatCannotBe: hashes that fit are not enough.
func TestRestoreOfWhatCannotBe(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "deep", "down")
	code, out, err := croze("restore", "--data", dir, exported(t, unplayable(t)))
	if code != exitBad || out != "" || !strings.Contains(err, "entry 2, the sample of A on 2024-05-24") {
		t.Errorf("exit code %d, %q and %q", code, out, err)
	}
	if _, err := os.Stat(filepath.Dir(dir)); !os.IsNotExist(err) {
		t.Errorf("a folder was left behind (%v)", err)
	}
}

// TestCheckNamesTheBadEntry: a store whose chain is whole and whose facts are not.
func TestCheckNamesTheBadEntry(t *testing.T) {
	dir := t.TempDir()
	in, err := os.Open(exported(t, unplayable(t)))
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	if _, err := journal.Import(filepath.Join(dir, journal.FileName), in); err != nil {
		t.Fatal(err)
	}
	code, out, problems := croze("check", "--data", dir, "--json")
	if code != exitNo || !strings.Contains(out, `"bad_entry": 2`) || !strings.Contains(problems, "entry 2, the sample of A") {
		t.Errorf("exit code %d, %q and %q", code, out, problems)
	}
	if code, _, problems := croze("backup", "--data", dir, filepath.Join(t.TempDir(), "b.db")); code != exitBad || !strings.Contains(problems, "the store is not sound") {
		t.Errorf("a backup of it: exit code %d and %q", code, problems)
	}
}

// TestCheckComparesWithWhatWasKept: somebody changed the figures that the
// program had kept beside the journal, or the program had reckoned wrongly.
func TestCheckComparesWithWhatWasKept(t *testing.T) {
	dir := exampleStore(t)
	s, err := journal.Open(filepath.Join(dir, journal.FileName))
	if err != nil {
		t.Fatal(err)
	}
	kept, err := s.Get("projection")
	if err != nil || kept == nil {
		t.Fatalf("an import keeps no projection (%v)", err)
	}
	var p struct {
		Seq      uint64                      `json:"seq"`
		Balances map[string]map[string]int64 `json:"balances"`
	}
	if err := json.Unmarshal(kept, &p); err != nil {
		t.Fatal(err)
	}
	p.Balances["vessel:2A2-A2C"]["water_mg"]++
	changed, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Put("projection", changed); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	code, _, problems := croze("check", "--data", dir)
	if code != exitNo || !strings.Contains(problems, "account vessel:2A2-A2C: the kept projection has") {
		t.Errorf("exit code %d and %q", code, problems)
	}
}
