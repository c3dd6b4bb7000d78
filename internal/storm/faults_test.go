package storm

import (
	"errors"
	"math/rand/v2"

	"example.org/croze/internal/journal"
)

var (
	errDisk = errors.New("the disk would not take it")
	errLost = errors.New("the answer of the disk was lost")
)

// faulty is a journal whose appends fail now and then: before anything is
// written, after all of it is, or because somebody else was quicker.
type faulty struct {
	*journal.Memory
	random  *rand.Rand
	on      bool
	another func(*journal.Memory) // writes an entry past the book
	failed  map[string]int
}

func newFaulty(random *rand.Rand, another func(*journal.Memory)) *faulty {
	return &faulty{Memory: journal.NewMemory(), random: random, another: another, failed: make(map[string]int)}
}

// fails throws the dice for a fault that happens once in n times.
func (f *faulty) fails(fault string, n int) bool {
	if !f.on || f.random.IntN(n) != 0 {
		return false
	}
	f.failed[fault]++
	return true
}

// Append implements journal.Journal.
func (f *faulty) Append(expected journal.Head, drafts ...journal.Draft) ([]journal.Entry, error) {
	if f.fails("not written", 12) {
		return nil, errDisk
	}
	if f.fails("another was quicker", 12) {
		f.another(f.Memory)
	}
	entries, err := f.Memory.Append(expected, drafts...)
	if err == nil && f.fails("written, and no answer", 12) {
		return nil, errLost
	}
	return entries, err
}

// Find implements journal.Journal.
func (f *faulty) Find(id string) (journal.Entry, bool, error) {
	if f.fails("not read", 40) {
		return journal.Entry{}, false, errDisk
	}
	return f.Memory.Find(id)
}
