package server

import (
	"runtime"
	"sync/atomic"

	"github.com/gofiber/fiber/v2"
)

// turns has places for as many pages as are worked out at once. More would make
// none of them come sooner, and would take the cores from those who write, who
// never wait here.
type turns struct {
	places  chan struct{}
	waiting atomic.Int64
}

// mostWaiting is how many may wait for a page before others are told to come back.
const mostWaiting = 1000

func newTurns() turns { return turns{places: make(chan struct{}, runtime.GOMAXPROCS(0)+2)} }

// enter waits for a place, first come, first served, and returns how to leave
// it; nil when too many wait already.
func (t *turns) enter() (leave func()) {
	defer t.waiting.Add(-1)
	if t.waiting.Add(1) > mostWaiting {
		return nil
	}
	t.places <- struct{}{}
	return func() { <-t.places }
}

// inTurn lets a page be worked out when there is a place. Until the estimator
// has read the stock, pages wait for that and not for a core, and need none.
func (s *Server) inTurn(c *fiber.Ctx) error {
	if c.Method() != fiber.MethodGet || !s.book.HasRead() {
		return c.Next()
	}
	leave := s.turns.enter()
	if leave == nil {
		c.Set("Retry-After", "10")
		return fiber.NewError(fiber.StatusServiceUnavailable, "Too many are asking at once. Wait a little and ask again.")
	}
	defer leave()
	return c.Next()
}
