package book

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/spirit"
)

// Findings is what a check of a store found. An empty Problem is a sound store.
type Findings struct {
	Entries    uint64       `json:"entries"`
	Head       journal.Head `json:"head"`
	Accounts   int          `json:"accounts"`
	Projection uint64       `json:"projection"` // entry at which the kept projection was compared; 0: none kept
	BadEntry   uint64       `json:"bad_entry,omitempty"`
	Problem    string       `json:"problem,omitempty"`
}

// Verify checks a journal from end to end: the chain of hashes, the replay,
// double entry over all accounts, and the replay against the kept projection.
func Verify(j journal.Journal) (Findings, error) {
	var f Findings
	head, err := j.Head()
	if err != nil {
		return f, err
	}
	f.Entries, f.Head = head.Seq, head
	if err := journal.Verify(j); err != nil {
		return f.bad(err), nil
	}
	entries, err := readAll(j)
	if err != nil {
		return f.bad(err), nil
	}
	state, err := cellar.Fold(entries, time.Time{})
	if err != nil {
		return f.bad(err), nil
	}
	f.Accounts = len(state.Accounts())
	if err := errors.Join(state.Check(), checkClosings(state)); err != nil {
		return f.bad(err), nil
	}
	if f.Projection, err = compareKept(j, entries); err != nil {
		return f.bad(err), nil
	}
	return f, nil
}

// bad notes the first problem, with its entry where it has one.
func (f Findings) bad(err error) Findings {
	f.Problem = err.Error()
	f.BadEntry = badEntry(err)
	return f
}

// keptKey is where the projection is kept beside the journal.
const keptKey = "projection"

// kept is the balances as they stood after an entry.
type kept struct {
	Seq      uint64                           `json:"seq"`
	Balances map[cellar.Account]spirit.Amount `json:"balances"`
}

// Keep puts the balances beside the journal, so that a later check can compare
// a replay with what this run of the program had worked out step by step.
func (b *Book) Keep() error {
	s := b.shown.Load()
	data, err := json.Marshal(kept{s.head.Seq, balances(s.state)})
	if err != nil {
		return err
	}
	if len(data) > journal.MaxAside { // a very large store
		if data, err = packed(data); err != nil {
			return err
		}
	}
	return b.journal.Put(keptKey, data)
}

func packed(data []byte) ([]byte, error) {
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	_, err := w.Write(data)
	err = errors.Join(err, w.Close())
	return out.Bytes(), err
}

// readKept reads what Keep wrote, packed or not.
func readKept(data []byte) (k kept, err error) {
	if len(data) > 0 && data[0] != '{' {
		r, err := gzip.NewReader(bytes.NewReader(data))
		if err != nil {
			return k, err
		}
		if data, err = io.ReadAll(r); err != nil {
			return k, err
		}
	}
	return k, json.Unmarshal(data, &k)
}

func balances(s *cellar.State) map[cellar.Account]spirit.Amount {
	out := make(map[cellar.Account]spirit.Amount)
	for _, a := range s.Accounts() {
		if amount := s.Balance(a); !amount.IsZero() {
			out[a] = amount
		}
	}
	return out
}

// compareKept replays up to the entry of the kept projection and compares.
func compareKept(j journal.Journal, entries []cellar.Entry) (uint64, error) {
	data, err := j.Get(keptKey)
	if err != nil || data == nil {
		return 0, err
	}
	k, err := readKept(data)
	if err != nil {
		return 0, fmt.Errorf("the kept projection cannot be read: %w", err)
	}
	if k.Seq > uint64(len(entries)) {
		return k.Seq, fmt.Errorf("the kept projection knows %d entries, the journal has only %d: entries are missing", k.Seq, len(entries))
	}
	state, err := cellar.Fold(entries[:k.Seq], time.Time{})
	if err != nil {
		return k.Seq, err
	}
	replayed := balances(state)
	for a, amount := range k.Balances {
		if replayed[a] != amount {
			return k.Seq, fmt.Errorf("account %s: the kept projection has %v, the replay %v", a, amount, replayed[a])
		}
	}
	if len(replayed) != len(k.Balances) {
		return k.Seq, fmt.Errorf("the replay has %d accounts, the kept projection %d", len(replayed), len(k.Balances))
	}
	return k.Seq, nil
}

// badEntry is the number of the entry that an error is about, 0 if of none.
func badEntry(err error) uint64 {
	var damage *journal.DamageError
	var entry *cellar.EntryError
	switch {
	case errors.As(err, &damage):
		return damage.Seq
	case errors.As(err, &entry):
		return entry.Entry.Seq
	}
	return 0
}
