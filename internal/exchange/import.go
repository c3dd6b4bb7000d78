package exchange

import (
	"fmt"
	"slices"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// Files are what one import reads; nil ones are not given.
type Files struct{ Vessels, Places, Batches, Entries *File }

// Read reads the files of an import. Whatever is wrong with them is in the
// set's Problems, sorted by package book; the error is that of a reader that
// failed. now decides what lies in the future.
func Read(files Files, now time.Time) (book.ImportSet, error) {
	vessels, err := vesselForm.readAll(files.Vessels)
	if err != nil {
		return book.ImportSet{}, err
	}
	places, err := placeForm.readAll(files.Places)
	if err != nil {
		return book.ImportSet{}, err
	}
	batches, err := batchForm(now).readAll(files.Batches)
	if err != nil {
		return book.ImportSet{}, err
	}
	entries, err := entryForm(now).readAll(files.Entries)
	if err != nil {
		return book.ImportSet{}, err
	}
	set := book.ImportSet{
		Places: places.good, Vessels: vessels.good, Batches: batches.good, Entries: entries.good,
		Problems: slices.Concat(vessels.problems, places.problems, namedTwice(places.good), batches.problems, entries.problems),
	}
	if !vessels.readable || !batches.readable {
		set.Entries = nil // every one would be about something unknown
	}
	d := newDoubts(set.Entries)
	d.vessels(vessels.failed)
	d.batches(batches.failed)
	d.entries(entries.failed)
	set.Doubtful = d.names
	return set, nil
}

// namedTwice finds places that two rows say different things of.
func namedTwice(places []book.Row[cellar.Place]) []book.RowProblem {
	var problems []book.RowProblem
	first := make(map[string]int)
	for _, p := range places {
		if line, twice := first[p.Value.Name]; twice {
			problems = append(problems, book.RowProblem{
				File: p.File, Line: p.Line, Column: "place", Value: p.Value.Name,
				Reason: fmt.Sprintf("line %d is about this place too: keep one", line),
			})
			continue
		}
		first[p.Value.Name] = p.Line
	}
	return problems
}

// doubts marks names whose rows are lost, in every spelling that an entry uses.
type doubts struct {
	names map[string]bool
	used  map[string][]string // names in the entries, by their one spelling
}

func newDoubts(entries []book.Row[cellar.Request]) doubts {
	d := doubts{names: make(map[string]bool), used: make(map[string][]string)}
	for _, e := range entries {
		for _, name := range []string{e.Value.Vessel, e.Value.From} {
			one := spelling(name)
			if name != one && !slices.Contains(d.used[one], name) {
				d.used[one] = append(d.used[one], name)
			}
		}
	}
	return d
}

func (d doubts) add(class, name string) {
	if name == "" {
		return
	}
	d.names[name], d.names[class+name] = true, true
	for _, used := range d.used[spelling(name)] {
		d.names[used] = true
	}
}

func (d doubts) vessels(failed []cellar.Vessel) {
	for _, v := range failed {
		d.add("vessel:", v.Code)
		d.add("vessel:", v.MakerCode)
	}
}

func (d doubts) batches(failed []cellar.Batch) {
	for _, b := range failed {
		d.add("batch:", b.Name)
	}
}

// entries puts a vessel in doubt when a row is lost without which later rows
// would be refused for no fault of their own.
func (d doubts) entries(failed []cellar.Request) {
	for _, q := range failed {
		switch q.Entry {
		case "note", "sample", "draw", "spill":
		default:
			d.add("vessel:", q.Vessel)
		}
	}
}
