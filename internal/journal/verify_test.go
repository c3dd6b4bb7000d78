package journal

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"go.etcd.io/bbolt"
)

// TestVerifyNamesTheFirstBadEntry changes a store behind the journal's back as
// somebody would who wants another past.
func TestVerifyNamesTheFirstBadEntry(t *testing.T) {
	rewritten := func(t *testing.T, old Entry, change func(*Entry)) []byte {
		change(&old)
		return asJSON(t, old)
	}
	for _, c := range []struct {
		name   string
		seq    uint64
		reason string
		tamper func(*testing.T, *bbolt.Tx, []Entry) error
	}{
		{"a changed body", 4, "its fields give the hash", func(t *testing.T, tx *bbolt.Tx, old []Entry) error {
			line := rewritten(t, old[3], func(e *Entry) { e.Body = []byte(`{"vessel":"K8"}`) })
			return tx.Bucket(bucketEntries).Put(seqKey(4), line)
		}},
		{"a changed body with its new hash", 5, "it names", func(t *testing.T, tx *bbolt.Tx, old []Entry) error {
			line := rewritten(t, old[3], func(e *Entry) { e.Who = "Another"; e.Hash = hashOf(*e) })
			return tx.Bucket(bucketEntries).Put(seqKey(4), line)
		}},
		{"an entry that was taken out", 4, "entry 5 stands in its place", func(_ *testing.T, tx *bbolt.Tx, _ []Entry) error {
			return tx.Bucket(bucketEntries).Delete(seqKey(4))
		}},
		{"two that were swapped", 2, "entry 3 stands in its place", func(t *testing.T, tx *bbolt.Tx, old []Entry) error {
			list := tx.Bucket(bucketEntries)
			return errors.Join(list.Put(seqKey(2), asJSON(t, old[2])), list.Put(seqKey(3), asJSON(t, old[1])))
		}},
		{"an entry that is no JSON", 6, "it cannot be read", func(_ *testing.T, tx *bbolt.Tx, _ []Entry) error {
			return tx.Bucket(bucketEntries).Put(seqKey(6), []byte("{"))
		}},
		{"an ID that leads to another entry", 2, "", func(_ *testing.T, tx *bbolt.Tx, old []Entry) error {
			return tx.Bucket(bucketIDs).Put([]byte(old[1].ID), seqKey(3))
		}},
		{"an ID that leads nowhere", 3, "does not find it", func(_ *testing.T, tx *bbolt.Tx, old []Entry) error {
			return tx.Bucket(bucketIDs).Delete([]byte(old[2].ID))
		}},
		{"an aside that was changed", 0, `the aside "password"`, func(_ *testing.T, tx *bbolt.Tx, _ []Entry) error {
			return tx.Bucket(bucketAside).Put([]byte("password"), make([]byte, 40))
		}},
	} {
		s := quickStore(t)
		old := mustAppend(t, s, drafts(0, 8)...)
		if err := errors.Join(s.Put("password", []byte("kept")), s.Close()); err != nil {
			t.Fatal(err)
		}
		inBolt(t, s.Path(), func(tx *bbolt.Tx) error { return c.tamper(t, tx, old) })
		again, err := OpenReadOnly(s.Path())
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		err = Verify(again)
		var damage *DamageError
		if !errors.As(err, &damage) || damage.Seq != c.seq && c.name != "an ID that leads to another entry" {
			t.Errorf("%s: Verify gave %v, want entry %d", c.name, err, c.seq)
		}
		wantWords(t, c.name, err, nil, c.reason)
		again.Close()
	}
}

func TestAStoreWhoseEndIsHiddenIsNotWrittenOn(t *testing.T) {
	s := quickStore(t)
	mustAppend(t, s, drafts(0, 8)...)
	s.Close()
	inBolt(t, s.Path(), func(tx *bbolt.Tx) error { return tx.Bucket(bucketEntries).Delete(seqKey(8)) })
	_, err := Open(s.Path())
	wantWords(t, "to write on", err, nil, s.Path(), "7 entries", "IDs of 8", "backup")
	again, err := OpenReadOnly(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	wantWords(t, "to read", Verify(again), nil, "entry 8", "IDs of 8")
}

// shortened is a journal that has lost its end without knowing it.
type shortened struct{ *Memory }

func (s shortened) Head() (Head, error) { return Head{Seq: 9}, nil }

func TestVerifyMissesTheEnd(t *testing.T) {
	m := NewMemory()
	mustAppend(t, m, drafts(0, 5)...)
	wantWords(t, "a short journal", Verify(shortened{m}), nil, "at entry 6", "missing")
}

// TestPagesAgreeWithTheEngine holds our reading of the pages of good files
// against bbolt's own check.
func TestPagesAgreeWithTheEngine(t *testing.T) {
	for _, n := range []int{0, 1, 3, 40, 2000} {
		file, _ := filled(t, n)
		db, err := bbolt.Open(written(t, file), 0o600, nil)
		if err != nil {
			t.Fatal(err)
		}
		err = db.View(func(tx *bbolt.Tx) error {
			for err := range tx.Check() {
				t.Errorf("%d entries: %v", n, err)
			}
			return nil
		})
		if err := errors.Join(err, db.Close()); err != nil {
			t.Fatal(err)
		}
	}
}

// TestStoredFilesOpen opens a file of every form that was ever written, with
// the export that was made of it then.
func TestStoredFilesOpen(t *testing.T) {
	const folder = "../../testdata/journals"
	for format := 1; format <= Format; format++ {
		name := filepath.Join(folder, "format-"+string(rune('0'+format)))
		file, err := os.ReadFile(name + ".db")
		if err != nil {
			t.Fatal(err)
		}
		export, err := os.ReadFile(name + ".jsonl")
		if err != nil {
			t.Fatal(err)
		}
		s, err := Open(written(t, file))
		if err != nil {
			t.Fatal(err)
		}
		mustVerify(t, s)
		wantExport(t, s, export)
		if v, err := s.Get("greeting"); string(v) != "the apples are in" || err != nil {
			t.Errorf("the aside is %q: %v", v, err)
		}
		mustAppend(t, s, draft(7777))
		s.Close()
	}
}
