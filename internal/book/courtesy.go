package book

import (
	"sync/atomic"
	"time"
)

// Background work goes on for a while, then waits for its turn.
const (
	workedAtOnce = 5 * time.Millisecond
	mostPatience = 20 * time.Millisecond
)

// courtesy has background work give way to those who look or write.
type courtesy struct {
	busy  atomic.Int64 // looks and writes under way
	free  chan struct{}
	since atomic.Int64 // when background work last had its turn, Unix nanoseconds
}

// attend counts a look or a write until the function that it returns is called.
func (c *courtesy) attend() (done func()) {
	c.busy.Add(1)
	return func() {
		if c.busy.Add(-1) > 0 {
			return
		}
		select {
		case c.free <- struct{}{}:
		default:
		}
	}
}

// giveWay is for background work to call often. It returns when nobody looks or
// writes, and after a while anyway: where somebody always does, the background
// must come to its end too.
func (c *courtesy) giveWay() {
	if c.busy.Load() == 0 || time.Since(time.Unix(0, c.since.Load())) < workedAtOnce {
		return
	}
	defer func() { c.since.Store(time.Now().UnixNano()) }()
	patience := time.NewTimer(mostPatience)
	defer patience.Stop()
	for c.busy.Load() > 0 {
		select {
		case <-c.free:
		case <-patience.C:
			return
		}
	}
}
