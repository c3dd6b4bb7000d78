package book_test

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/demo"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/spirit"
)

// tester is what a test and a property have in common.
type tester interface {
	Helper()
	Fatalf(format string, args ...any)
	Errorf(format string, args ...any)
}

// clock is a clock that tests set, with IDs that follow one another.
type clock struct {
	now time.Time
	ids int
}

func (c *clock) edge() book.Edge {
	return book.Edge{Now: func() time.Time { return c.now }, NewID: func(time.Time) string {
		c.ids++
		return fmt.Sprintf("01J%023d", c.ids)
	}}
}

// on sets the clock to noon of a day.
func (c *clock) on(date string) *clock {
	day, err := cellar.ParseDay(date)
	if err != nil {
		panic(err)
	}
	c.now = day.Time().Add(12 * time.Hour)
	return c
}

// house is a book in memory under test.
type house struct {
	*book.Book
	t     tester
	clock *clock
}

func newHouse(t tester) *house {
	t.Helper()
	c := new(clock).on("2020-01-01")
	b, err := book.Open(journal.NewMemory(), c.edge())
	if err != nil {
		t.Fatalf("%v", err)
	}
	return &house{b, t, c}
}

func (h *house) must(err error) {
	h.t.Helper()
	if err != nil {
		h.t.Fatalf("%v", err)
	}
}

func (h *house) vessel(code string, kind cellar.VesselKind, capacity float64) {
	h.t.Helper()
	v := cellar.Vessel{Code: code, Kind: kind, Place: "loft", CapacityL: spirit.Litres(capacity)}
	if kind.Wooden() {
		v.Wood, v.WoodState = "oak", cellar.NewWood
	}
	_, err := h.RegisterNewVessel("", "keeper", v)
	h.must(err)
}

func (h *house) batch(name, made string, volume, strength float64) {
	h.t.Helper()
	day, err := cellar.ParseDay(made)
	h.must(err)
	h.must(h.RegisterNewBatch("", "keeper", cellar.Batch{Name: name, MadeOn: day, VolumeL: spirit.Litres(volume), StrengthPct: spirit.Strength(strength)}, nil))
}

// does records a request on a day.
func (h *house) does(date string, r cellar.Request) cellar.Entry {
	h.t.Helper()
	day, err := cellar.ParseDay(date)
	h.must(err)
	r.When = day.Time().Add(10 * time.Hour)
	e, err := h.Record(book.Submission{Who: "keeper", Request: r, Sure: true})
	h.must(err)
	return e
}

func (h *house) period(from, to string) book.Period {
	h.t.Helper()
	f, err := cellar.ParseDay(from)
	h.must(err)
	t, err := cellar.ParseDay(to)
	h.must(err)
	return book.Period{From: f, To: t}
}

func (h *house) statement(p book.Period, vessels ...string) *book.Statement {
	h.t.Helper()
	var s *book.Statement
	h.must(h.See(book.Moment{}, func(v *book.View) (err error) {
		s, err = v.Statement(p, vessels)
		return err
	}))
	return s
}

func ptr[T any](v T) *T { return &v }

// demoHouse is the demo's book, as it is on a day, for a test to write in.
func demoHouse(t testing.TB) *house {
	t.Helper()
	h, err := openDemo()
	if err != nil {
		t.Fatal(err)
	}
	h.t = t
	return h
}

// demoToSee is the same for tests that only look: the stock is read once for all.
func demoToSee(t testing.TB) *house {
	t.Helper()
	h, err := seenDemo()
	if err != nil {
		t.Fatal(err)
	}
	return &house{h.Book, t, h.clock}
}

var seenDemo = sync.OnceValues(openDemo)

func openDemo() (*house, error) {
	c := new(clock).on("2026-11-25")
	story, err := demo.Tell(7, c.now)
	if err != nil {
		return nil, err
	}
	j := journal.NewMemory()
	if err := story.Write(j, c.edge().NewID); err != nil {
		return nil, err
	}
	b, err := book.Open(j, c.edge())
	return &house{Book: b, clock: c}, err
}
