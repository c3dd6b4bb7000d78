package journal

import (
	"errors"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"
)

// model is the journal as anyone would write it first: a slice.
type model struct {
	drafts []Draft
	aside  map[string]string
}

// TestAgainstModel does random things to both journals and to the model, which
// must always agree. A failure prints the seed that replays it.
func TestAgainstModel(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m := &model{aside: map[string]string{}}
		path := filepath.Join(t.TempDir(), FileName)
		store, err := Open(path)
		if err != nil {
			r.Fatal(err)
		}
		store.db.NoSync = true // nothing is lost but with the power
		memory := NewMemory()
		defer func() { store.Close() }()
		r.Repeat(map[string]func(*rapid.T){
			"append": func(r *rapid.T) { m.append(r, store, memory) },
			"put":    func(r *rapid.T) { m.put(r, store, memory) },
			"reopen": func(r *rapid.T) {
				if err := store.Close(); err != nil {
					r.Fatal(err)
				}
				if store, err = Open(path); err != nil {
					r.Fatal(err)
				}
				store.db.NoSync = true
			},
			"": func(r *rapid.T) { m.check(r, store); m.check(r, memory) },
		})
	})
}

// append appends drafts, some of them perhaps sent before or changed, at the
// right head or another.
func (m *model) append(r *rapid.T, journals ...Journal) {
	first := rapid.IntRange(0, len(m.drafts)+2).Draw(r, "first")
	list := drafts(first, first+rapid.IntRange(0, 4).Draw(r, "count"))
	if len(list) > 0 && rapid.IntRange(0, 5).Draw(r, "change") == 0 {
		list[0].Who = "Another"
	}
	stale := rapid.IntRange(0, 5).Draw(r, "stale") == 0
	want := m.outcome(list, stale)
	for _, j := range journals {
		head, err := j.Head()
		if err != nil {
			r.Fatal(err)
		}
		if stale {
			head.Hash[7] ^= 1
		}
		if _, err := j.Append(head, list...); !errors.Is(err, want) {
			r.Fatalf("%T: append gave %v, want %v", j, err, want)
		}
	}
	if want == nil && m.place(list) == 0 {
		m.drafts = append(m.drafts, list...)
	}
}

// place returns how many of the drafts' IDs are in the model.
func (m *model) place(list []Draft) (there int) {
	for _, d := range list {
		for _, old := range m.drafts {
			if old.ID == d.ID {
				there++
			}
		}
	}
	return there
}

func (m *model) outcome(list []Draft, stale bool) error {
	there := m.place(list)
	for _, d := range list {
		for _, old := range m.drafts {
			if old.ID == d.ID && old.Who != d.Who {
				return ErrDuplicate
			}
		}
	}
	switch {
	case there > 0 && there < len(list):
		return ErrDuplicate
	case there == 0 && stale:
		return ErrConflict
	}
	return nil
}

func (m *model) put(r *rapid.T, journals ...Journal) {
	key := rapid.SampledFrom([]string{"a", "b", "c"}).Draw(r, "key")
	value := rapid.StringN(0, 20, 60).Draw(r, "value")
	m.aside[key] = value
	for _, j := range journals {
		if err := j.Put(key, []byte(value)); err != nil {
			r.Fatal(err)
		}
	}
}

func (m *model) check(r *rapid.T, j Journal) {
	n := 0
	err := j.Read(1, func(e Entry) error {
		if n >= len(m.drafts) || !sameContent(e, m.drafts[n]) {
			r.Fatalf("%T: entry %d is %+v", j, e.Seq, e)
		}
		n++
		return nil
	})
	if err != nil || n != len(m.drafts) {
		r.Fatalf("%T: %d entries, want %d: %v", j, n, len(m.drafts), err)
	}
	if err := Verify(j); err != nil {
		r.Fatalf("%T: %v", j, err)
	}
	for key, want := range m.aside {
		if got, err := j.Get(key); string(got) != want || err != nil {
			r.Fatalf("%T: %s is %q, want %q: %v", j, key, got, want, err)
		}
	}
}
