package exchange_test

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/exchange"
)

// seeds are the example files and every refusal of a kind.
func seeds(f *testing.F, kind string) {
	paths, err := filepath.Glob("../../testdata/imports/*" + kind + "*.csv")
	if err != nil || len(paths) == 0 {
		f.Fatalf("no example of %s: %v", kind, err)
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	for _, c := range refusals {
		if c.kind == kind {
			f.Add([]byte(c.text))
		}
	}
}

// soundProblems holds problems to naming a line that is there, and a reason.
func soundProblems(t *testing.T, data []byte, set book.ImportSet) {
	t.Helper()
	last := 1 + bytes.Count(data, []byte("\n"))
	if last == 1 {
		last = 1 + bytes.Count(data, []byte("\r"))
	}
	for _, p := range set.Problems {
		if p.File != "f.csv" || p.Line < 1 || p.Line > last || p.Reason == "" {
			t.Errorf("problem %+v of a file of %d lines", p, last)
		}
	}
}

func readBytes(t *testing.T, kind string, data []byte) book.ImportSet {
	t.Helper()
	set, err := exchange.Read(filesOf(kind, string(data)), now)
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// sameAgain writes good rows and wants the same rows, IDs and all, from reading them.
func sameAgain[T any](t *testing.T, kind string, rows []book.Row[T], write func(*bytes.Buffer, []T) error, of func(book.ImportSet) []book.Row[T]) {
	t.Helper()
	var text bytes.Buffer
	if err := write(&text, valuesOf(rows)); err != nil {
		t.Fatal(err)
	}
	if len(rows) == 0 {
		return
	}
	set := readBytes(t, kind, text.Bytes())
	again := of(set)
	if len(again) != len(rows) {
		t.Fatalf("%d rows of %d after\n%s\n%s", len(again), len(rows), text.String(), lines(set.Problems))
	}
	for i := range rows {
		if again[i].ID != rows[i].ID || !reflect.DeepEqual(again[i].Value, rows[i].Value) {
			t.Fatalf("got\n%+v\nwant\n%+v\nfrom\n%s", again[i], rows[i], text.String())
		}
	}
}

func FuzzVessels(f *testing.F) {
	seeds(f, "vessels")
	f.Fuzz(func(t *testing.T, data []byte) {
		set := readBytes(t, "vessels", data)
		soundProblems(t, data, set)
		sameAgain(t, "vessels", set.Vessels, vesselWriter, func(s book.ImportSet) []book.Row[vessel] { return s.Vessels })
	})
}

func FuzzPlaces(f *testing.F) {
	seeds(f, "places")
	f.Fuzz(func(t *testing.T, data []byte) {
		set := readBytes(t, "places", data)
		soundProblems(t, data, set)
		sameAgain(t, "places", set.Places, placeWriter, func(s book.ImportSet) []book.Row[place] { return s.Places })
	})
}

func FuzzBatches(f *testing.F) {
	seeds(f, "batches")
	f.Fuzz(func(t *testing.T, data []byte) {
		set := readBytes(t, "batches", data)
		soundProblems(t, data, set)
		sameAgain(t, "batches", set.Batches, batchWriter, func(s book.ImportSet) []book.Row[batch] { return s.Batches })
	})
}

func FuzzEntries(f *testing.F) {
	seeds(f, "entries")
	f.Fuzz(func(t *testing.T, data []byte) {
		set := readBytes(t, "entries", data)
		soundProblems(t, data, set)
		for _, e := range set.Entries {
			if e.Value.When.After(now.AddDate(0, 0, 1)) || strings.TrimSpace(e.Value.Note) != e.Value.Note {
				t.Errorf("took %+v", e.Value)
			}
		}
		for i := range set.Entries {
			// The zone of a time has no name in a file, so times are compared as instants.
			set.Entries[i].Value.When = set.Entries[i].Value.When.UTC()
		}
		sameAgain(t, "entries", set.Entries, entryWriter, func(s book.ImportSet) []book.Row[request] {
			for i := range s.Entries {
				s.Entries[i].Value.When = s.Entries[i].Value.When.UTC()
			}
			return s.Entries
		})
	})
}
