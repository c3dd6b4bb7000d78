package book

import (
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/loss"
)

// Edge is what the book takes from the world outside.
type Edge struct {
	Now   func() time.Time
	NewID func(time.Time) string // a new ULID
}

// Book is an open journal with its projections. Its methods may be called from
// many goroutines.
type Book struct {
	journal journal.Journal
	edge    Edge

	mu       sync.Mutex // of those who write; who looks waits for nobody
	standing            // as those who write have it
	shown    atomic.Pointer[standing]
	unfit    int // entries since the whole stock was last fitted

	fits     sync.WaitGroup // fits in the background
	fitting  bool
	fitDone  chan struct{} // closed when the running fit, or the last, is done
	sinceFit []string      // vessels with entries since the running fit began

	line line
	courtesy
	past   pastViews
	memo   memo
	tabled tabling
}

// standing is the book at one head. Once shown nothing in it changes, so any
// number may look at it, for as long as they like, while others write.
type standing struct {
	entries []cellar.Entry // all of them, in journal order
	state   *cellar.State
	head    journal.Head
	model   *loss.Model // nil until it is first wanted
	turn    uint64      // counts what was shown
	fit     uint64      // counts how often the whole stock was read
}

// Open reads a journal and folds it. The journal stays the caller's to close.
func Open(j journal.Journal, edge Edge) (*Book, error) {
	entries, err := readAll(j)
	if err != nil {
		return nil, err
	}
	head, err := j.Head()
	if err != nil {
		return nil, err
	}
	state, err := cellar.Fold(entries, time.Time{})
	if err != nil {
		return nil, fmt.Errorf("the journal cannot be replayed: %w", err)
	}
	b := &Book{journal: j, edge: edge, standing: standing{entries: entries, state: state, head: head}}
	b.free, b.line.lead = make(chan struct{}, 1), make(chan struct{}, 1)
	b.show(nil)
	return b, nil
}

func readAll(j journal.Journal) ([]cellar.Entry, error) {
	var entries []cellar.Entry
	err := j.Read(1, func(e journal.Entry) error {
		decoded, err := decode(e)
		entries = append(entries, decoded)
		return err
	})
	return entries, err
}

func decode(e journal.Entry) (cellar.Entry, error) {
	fact, err := cellar.DecodeFact(e.Kind, e.Body)
	if err != nil {
		return cellar.Entry{}, fmt.Errorf("entry %d: %w", e.Seq, err)
	}
	return cellar.Entry{
		Seq: e.Seq, ID: e.ID, RecordedAt: e.RecordedAt, HappenedAt: e.HappenedAt, Who: e.Who, Fact: fact,
	}, nil
}

// show has everybody who looks from now on see what those who write have. What
// was worked out about these vessels is forgotten. The caller holds the lock.
func (b *Book) show(codes []string) {
	b.turn++
	now := b.standing
	b.memo.forget(now.turn, codes, func() { b.shown.Store(&now) })
}

// showFit is show after the whole stock was read anew. The caller holds the lock.
func (b *Book) showFit() {
	b.turn++
	b.fit++
	now := b.standing
	b.memo.forgetAll(now.turn, func() { b.shown.Store(&now) })
}

// Now is the book's clock.
func (b *Book) Now() time.Time { return b.edge.Now() }

// Journal gives the journal for what goes past the book: copies, exports, asides.
func (b *Book) Journal() journal.Journal { return b.journal }

// recordingTime is now, but never before the last entry was recorded: a clock
// set back must not make the journal say that the later was earlier.
func (b *Book) recordingTime() time.Time { return b.standing.recordingTime(b.edge.Now()) }

func (s *standing) recordingTime(now time.Time) time.Time {
	now = now.Round(0)
	if n := len(s.entries); n > 0 && s.entries[n-1].RecordedAt.After(now) {
		return s.entries[n-1].RecordedAt
	}
	return now
}

// append puts facts that were tried already into the journal, and returns them
// as entries. The caller holds the lock.
func (b *Book) append(drafts []journal.Draft) ([]cellar.Entry, error) {
	written, err := b.journal.Append(b.head, drafts...)
	if errors.Is(err, journal.ErrConflict) {
		if err := b.catchUp(); err != nil {
			return nil, err
		}
		return nil, &cellar.Problem{Kind: cellar.Conflict, Reason: "somebody else wrote to the journal meanwhile: try again"}
	}
	if err != nil {
		return nil, fmt.Errorf("nothing was saved: %w", err)
	}
	entries := make([]cellar.Entry, 0, len(written))
	for _, w := range written {
		e, err := decode(w)
		if err != nil {
			return nil, err
		}
		entries = append(entries, e)
		b.head = journal.Head{Seq: w.Seq, Hash: w.Hash}
	}
	b.entries = append(b.entries, entries...)
	return entries, nil
}
