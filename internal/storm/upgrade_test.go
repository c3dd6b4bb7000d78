package storm

import (
	"bufio"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/demo"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/spirit"
)

// Stored stories of earlier versions, and the balances that the version which wrote
// each worked out. They stay as they are for ever: a new one gets a new name.
var (
	stories   = filepath.Join("..", "..", "testdata", "journals")
	writeThis = flag.String("write-story", "", "write the demo as this version stores it, under this name")
)

// balancesOf replays a journal.
func balancesOf(t *testing.T, j journal.Journal) map[cellar.Account]spirit.Amount {
	t.Helper()
	b, err := book.Open(j, book.Edge{Now: func() time.Time { return start }})
	must(t, err)
	sums := make(map[cellar.Account]spirit.Amount)
	must(t, b.Glance(book.Moment{}, func(v *book.View) error {
		for _, a := range v.State.Accounts() {
			sums[a] = v.State.Balance(a)
		}
		return nil
	}))
	b.Wait()
	return sums
}

func writeStory(t *testing.T, name string) {
	story, err := demo.Tell(7, start)
	must(t, err)
	n, j := 0, journal.NewMemory()
	must(t, story.Write(j, func(time.Time) string { n++; return idOf(70, n) }))
	f, err := os.OpenFile(filepath.Join(stories, name+".jsonl"), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	must(t, err)
	out := bufio.NewWriter(f)
	must(t, errors.Join(journal.Export(out, j), out.Flush(), f.Close()))
	data, err := json.MarshalIndent(balancesOf(t, j), "", " ")
	must(t, err)
	must(t, os.WriteFile(filepath.Join(stories, name+".balances.json"), append(data, '\n'), 0o644))
}

// TestStoriesOfEarlierVersions: each is read back, holds from end to end and
// comes to the balances that were recorded, to the milligram.
func TestStoriesOfEarlierVersions(t *testing.T) {
	if *writeThis != "" {
		writeStory(t, *writeThis)
	}
	names, err := filepath.Glob(filepath.Join(stories, "*.balances.json"))
	must(t, err)
	if len(names) == 0 {
		t.Fatal("no story is kept")
	}
	for _, recorded := range names {
		data, err := os.ReadFile(recorded)
		must(t, err)
		var want map[cellar.Account]spirit.Amount
		must(t, json.Unmarshal(data, &want))
		f, err := os.Open(recorded[:len(recorded)-len(".balances.json")] + ".jsonl")
		must(t, err)
		path := filepath.Join(t.TempDir(), journal.FileName)
		_, err = journal.Import(path, f)
		must(t, errors.Join(err, f.Close()))
		j, err := journal.Open(path)
		must(t, err)
		sound(t, j)
		got := balancesOf(t, j)
		for a, amount := range want {
			if got[a] != amount {
				t.Errorf("%s: %s holds %+v, was recorded with %+v", recorded, a, got[a], amount)
			}
		}
		if len(got) != len(want) || len(kindsOf(t, j)) < 10 {
			t.Errorf("%s: %d accounts, recorded %d; kinds %v", recorded, len(got), len(want), kindsOf(t, j))
		}
		must(t, j.Close())
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
