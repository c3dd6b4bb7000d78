package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// thousandRows writes files with 40 casks and 1 000 entries: fills, samples
// through the years, and draws.
func thousandRows(tb testing.TB) (vessels, entries string) {
	tb.Helper()
	dir := tb.TempDir()
	var v, e strings.Builder
	v.WriteString("code,kind,capacity_l,wood,wood_state,place\n")
	e.WriteString("when,entry,vessel,volume_l,strength_pct,drawn_l\n")
	const casks, perCask = 40, 25
	for cask := range casks {
		fmt.Fprintf(&v, "C%02d,cask,50,oak,used,Barn\n", cask)
		day := time.Date(2018, 1, 1+cask, 0, 0, 0, 0, time.UTC)
		fmt.Fprintf(&e, "%s,fill,C%02d,50,63,\n", day.Format(time.DateOnly), cask)
		for n := 1; n < perCask; n++ {
			day = day.AddDate(0, 3, 0)
			if n%5 == 0 {
				fmt.Fprintf(&e, "%s,draw,C%02d,,,0.5\n", day.Format(time.DateOnly), cask)
				continue
			}
			fmt.Fprintf(&e, "%s,sample,C%02d,%.2f,%.2f,0.1\n", day.Format(time.DateOnly), cask, 50-0.5*float64(n)-0.01*float64(cask), 63-0.1*float64(n))
		}
	}
	vessels, entries = filepath.Join(dir, "vessels.csv"), filepath.Join(dir, "entries.csv")
	for path, text := range map[string]string{vessels: v.String(), entries: e.String()} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			tb.Fatal(err)
		}
	}
	return vessels, entries
}

// BenchmarkImport is an import of 1 000 rows into a store that is not there
// yet, durable on the disk. It should stay under 2 s.
func BenchmarkImport(b *testing.B) {
	vessels, entries := thousandRows(b)
	for b.Loop() {
		if code, _, err := croze("import", "--data", filepath.Join(b.TempDir(), "cellar"), "--vessels", vessels, "--entries", entries); code != exitDone {
			b.Fatal(err)
		}
	}
}

// BenchmarkImportMore adds 1 000 rows to a store.
func BenchmarkImportMore(b *testing.B) {
	vessels, entries := thousandRows(b)
	store := exampleStore(b)
	for b.Loop() {
		if code, _, err := croze("import", "--data", copied(b, store), "--vessels", vessels, "--entries", entries); code != exitDone {
			b.Fatal(err)
		}
	}
}
