package storm

import (
	"bufio"
	"encoding/json"
	"errors"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/spirit"
)

// Stored stories of earlier versions, with the balances and the ages that the
// version which wrote each worked out. They stay as they are for ever: a new one
// gets a new name.
var (
	stories   = filepath.Join("..", "..", "testdata", "journals")
	writeThis = flag.String("write-story", "", "write a story of every kind of entry as this version stores it, under this name")
)

// figures are what a story comes to, by account.
type figures struct {
	balances map[cellar.Account]spirit.Amount
	ages     map[cellar.Account]cellar.Ages
}

// figuresOf replays a journal.
func figuresOf(t *testing.T, j journal.Journal) figures {
	t.Helper()
	b, err := book.Open(j, book.Edge{Now: func() time.Time { return start }})
	must(t, err)
	f := figures{make(map[cellar.Account]spirit.Amount), make(map[cellar.Account]cellar.Ages)}
	must(t, b.Glance(book.Moment{}, func(v *book.View) error {
		for _, a := range v.State.Accounts() {
			f.balances[a] = v.State.Balance(a)
			if ages := v.State.AgesOn(a, cellar.DayOf(start)); ages != (cellar.Ages{}) {
				f.ages[a] = ages
			}
		}
		return nil
	}))
	b.Wait()
	return f
}

func writeStory(t *testing.T, name string) {
	j := journal.NewMemory()
	tellEveryKind(t, j)
	f, err := os.OpenFile(filepath.Join(stories, name+".jsonl"), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	must(t, err)
	out := bufio.NewWriter(f)
	must(t, errors.Join(journal.Export(out, j), out.Flush(), f.Close()))
	came := figuresOf(t, j)
	writeFigures(t, name+".balances.json", came.balances)
	writeFigures(t, name+".ages.json", came.ages)
}

func writeFigures(t *testing.T, name string, figures any) {
	data, err := json.MarshalIndent(figures, "", " ")
	must(t, err)
	must(t, os.WriteFile(filepath.Join(stories, name), append(data, '\n'), 0o644))
}

// recorded reads figures that were written; those that were not are none.
func recorded[T any](t *testing.T, file string) (figures map[cellar.Account]T) {
	t.Helper()
	data, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	must(t, err)
	must(t, json.Unmarshal(data, &figures))
	return figures
}

// TestStoriesOfEarlierVersions: each is read back, holds from end to end and
// comes to the figures that were recorded, to the milligram and the day. All of
// them together hold every kind of entry that there is.
func TestStoriesOfEarlierVersions(t *testing.T) {
	if *writeThis != "" {
		writeStory(t, *writeThis)
	}
	names, err := filepath.Glob(filepath.Join(stories, "*.balances.json"))
	must(t, err)
	var kinds []string
	for _, name := range names {
		name = strings.TrimSuffix(name, ".balances.json")
		j := storedStory(t, name+".jsonl")
		sound(t, j)
		kinds = append(kinds, kindsOf(t, j)...)
		got := figuresOf(t, j)
		want := recorded[spirit.Amount](t, name+".balances.json")
		sameFigures(t, name, got.balances, want)
		if len(got.balances) != len(want) {
			t.Errorf("%s: %d accounts, recorded %d", name, len(got.balances), len(want))
		}
		sameFigures(t, name, got.ages, recorded[cellar.Ages](t, name+".ages.json"))
		must(t, j.Close())
	}
	for _, kind := range cellar.Kinds() {
		if !slices.Contains(kinds, kind) {
			t.Errorf("no stored story has an entry of the kind %s: go test ./internal/storm -write-story NAME writes one", kind)
		}
	}
}

// storedStory reads an export back into a store.
func storedStory(t *testing.T, file string) *journal.Store {
	t.Helper()
	f, err := os.Open(file)
	must(t, err)
	path := filepath.Join(t.TempDir(), journal.FileName)
	_, err = journal.Import(path, f)
	must(t, errors.Join(err, f.Close()))
	j, err := journal.Open(path)
	must(t, err)
	return j
}

func sameFigures[T comparable](t *testing.T, name string, got, want map[cellar.Account]T) {
	t.Helper()
	for a, figure := range want {
		if got[a] != figure {
			t.Errorf("%s: %s comes to %+v, was recorded with %+v", name, a, got[a], figure)
		}
	}
}

func kindsOf(t *testing.T, j journal.Journal) (kinds []string) {
	must(t, j.Read(1, func(e journal.Entry) error {
		if !slices.Contains(kinds, e.Kind) {
			kinds = append(kinds, e.Kind)
		}
		return nil
	}))
	slices.Sort(kinds)
	return kinds
}

// TestEntriesOfNewerVersions: a journal that a newer version has written to, a
// kind or a field that this one does not know, is refused with words that say
// so, and stays as it is.
func TestEntriesOfNewerVersions(t *testing.T) {
	for body, kind := range map[string]string{`{"vessel":"TANK-A","litres_of_what":1}`: "draw", `{"x":1}`: "distil_again"} {
		path := filepath.Join(t.TempDir(), journal.FileName)
		j, err := journal.Open(path)
		must(t, err)
		_, err = j.Append(journal.Head{}, journal.Draft{ID: idOf(1, 1), RecordedAt: start, HappenedAt: start, Who: "a newer version", Kind: kind, Body: json.RawMessage(body)})
		must(t, err)
		before, err := j.Head()
		must(t, err)
		_, err = book.Open(j, book.Edge{Now: func() time.Time { return start }})
		if err == nil || !strings.Contains(err.Error(), "newer version") || !strings.Contains(err.Error(), kind) {
			t.Errorf("%s: %v", kind, err)
		}
		if after, err := j.Head(); err != nil || after != before {
			t.Errorf("%s: the journal went from %v to %v, %v", kind, before, after, err)
		}
		must(t, j.Close())
	}
}
