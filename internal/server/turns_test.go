package server

import (
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
)

// No more are inside than there are places, all who wait come in, and when too
// many wait the next is told so at once.
func TestTurns(t *testing.T) {
	turns := turns{places: make(chan struct{}, 2)}
	leave := []func(){turns.enter(), turns.enter()}
	var inside, most atomic.Int64
	var group sync.WaitGroup
	for range mostWaiting {
		group.Go(func() {
			out := turns.enter()
			if out == nil {
				t.Error("one was sent away although there was room to wait")
				return
			}
			most.Store(max(most.Load(), inside.Add(1)))
			inside.Add(-1)
			out()
		})
	}
	for turns.waiting.Load() < mostWaiting {
		runtime.Gosched()
	}
	if turns.enter() != nil {
		t.Error("one more than may wait was let in")
	}
	if n := inside.Load(); n != 0 {
		t.Errorf("%d came in while all places were taken", n)
	}
	leave[0]()
	leave[1]()
	group.Wait()
	if most.Load() > 2 || turns.waiting.Load() != 0 {
		t.Errorf("%d were inside at once, %d still wait", most.Load(), turns.waiting.Load())
	}
}
