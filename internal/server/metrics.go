package server

import (
	"fmt"
	"io"
	"maps"
	"net"
	"runtime"
	"slices"
	"sync"
	"time"

	"github.com/gofiber/fiber/v2"
)

// bounds are the upper ends of the classes of time that an answer took, in seconds.
var bounds = [...]float64{0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10}

// measures counts requests by method, address pattern and status. The pattern
// is one of the routes, so that nobody can make many series by asking for many
// addresses.
type measures struct {
	mu     sync.Mutex
	counts map[series]*tally
}

type series struct {
	method, route string
	status        int
}

type tally struct {
	within [len(bounds)]uint64
	count  uint64
	sum    float64 // seconds
}

func (m *measures) add(s series, took time.Duration) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.counts == nil {
		m.counts = make(map[series]*tally)
	}
	t := m.counts[s]
	if t == nil {
		t = new(tally)
		m.counts[s] = t
	}
	t.count++
	t.sum += took.Seconds()
	for i, bound := range bounds {
		if took.Seconds() <= bound {
			t.within[i]++
		}
	}
}

// write gives the counts in Prometheus' text format, version 0.0.4.
func (m *measures) write(w io.Writer) {
	m.mu.Lock()
	defer m.mu.Unlock()
	fmt.Fprint(w, "# HELP croze_request_seconds How long answers took.\n# TYPE croze_request_seconds histogram\n")
	order := slices.SortedFunc(maps.Keys(m.counts), func(a, b series) int {
		return slices.Compare([]string{a.route, a.method, fmt.Sprint(a.status)}, []string{b.route, b.method, fmt.Sprint(b.status)})
	})
	for _, s := range order {
		t, labels := m.counts[s], fmt.Sprintf("method=%q,route=%q,status=\"%d\"", s.method, s.route, s.status)
		for i, bound := range bounds {
			fmt.Fprintf(w, "croze_request_seconds_bucket{%s,le=\"%g\"} %d\n", labels, bound, t.within[i])
		}
		fmt.Fprintf(w, "croze_request_seconds_bucket{%s,le=\"+Inf\"} %d\n", labels, t.count)
		fmt.Fprintf(w, "croze_request_seconds_sum{%s} %g\ncroze_request_seconds_count{%s} %d\n", labels, t.sum, labels, t.count)
	}
}

// metrics shows the measures to this machine and to whoever brings a token.
func (s *Server) metrics(c *fiber.Ctx) error {
	if _, err := s.bearer(c); err != nil && !fromHere(c) {
		return fiber.NewError(fiber.StatusForbidden, "the measures are for this machine, or for an API token in Authorization: Bearer")
	}
	head, err := s.book.Journal().Head()
	if err != nil {
		return err
	}
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	c.Set("Content-Type", "text/plain; version=0.0.4; charset=utf-8")
	for _, g := range []struct {
		name, help string
		value      uint64
	}{
		{"croze_journal_entries", "Entries in the journal.", head.Seq},
		{"croze_goroutines", "Goroutines that run or wait.", uint64(runtime.NumGoroutine())},
		{"croze_pages_waiting", "Pages that wait for others to be worked out.", uint64(s.turns.waiting.Load())},
		{"croze_heap_bytes", "Memory in use on the heap.", memory.HeapAlloc},
	} {
		fmt.Fprintf(c, "# HELP %s %s\n# TYPE %s gauge\n%s %d\n", g.name, g.help, g.name, g.name, g.value)
	}
	s.measures.write(c)
	return nil
}

// fromHere says whether a request was made on this machine and not handed on
// by a proxy, which would say for whom.
func fromHere(c *fiber.Ctx) bool {
	ip := net.ParseIP(c.IP())
	return ip != nil && ip.IsLoopback() && !handedOn(c)
}

// handedOn says whether a proxy made the request for somebody else.
func handedOn(c *fiber.Ctx) bool {
	return c.Get("X-Forwarded-For") != "" || c.Get("Forwarded") != "" || c.Get("Via") != ""
}
