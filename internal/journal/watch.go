package journal

import (
	"context"
	"errors"
	"iter"
	"sync"
)

// bell tells those who wait that the journal has grown or was closed. The zero
// bell is ready.
type bell struct {
	mu   sync.Mutex
	rung chan struct{}
}

// next returns a channel that is closed at the next ring.
func (b *bell) next() <-chan struct{} {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.rung == nil {
		b.rung = make(chan struct{})
	}
	return b.rung
}

func (b *bell) ring() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.rung != nil {
		close(b.rung)
		b.rung = nil
	}
}

var errWatchLeft = errors.New("the watch was left")

// watch makes a Watch out of Read. It needs no goroutine: the loop that ranges
// over it is what waits.
func watch(ctx context.Context, from uint64, b *bell, read func(uint64, func(Entry) error) error) iter.Seq2[Entry, error] {
	return func(yield func(Entry, error) bool) {
		visit := func(e Entry) error {
			if ctx.Err() != nil || !yield(e, nil) {
				return errWatchLeft
			}
			from = e.Seq + 1
			return nil
		}
		for {
			rung := b.next() // before reading, so that no ring is missed
			err := read(from, visit)
			if errors.Is(err, errWatchLeft) {
				return
			}
			if err != nil {
				yield(Entry{}, err)
				return
			}
			select {
			case <-ctx.Done():
				return
			case <-rung:
			}
		}
	}
}
