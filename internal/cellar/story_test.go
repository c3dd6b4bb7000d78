package cellar

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/spirit"
)

// story is a small history for a test: entries in the order in which they are
// recorded, each an hour after the one before unless a time is given.
type story struct {
	t       *testing.T
	entries []Entry
	clock   time.Time
}

func newStory(t *testing.T) *story {
	t.Helper()
	return &story{t: t, clock: time.Date(2020, 1, 1, 8, 0, 0, 0, time.UTC)}
}

// on sets the clock to the morning of a date.
func (s *story) on(date string) *story {
	s.t.Helper()
	s.clock = mustDay(s.t, date).Time().Add(8 * time.Hour)
	return s
}

// record adds a fact at the story's clock, without judging it.
func (s *story) record(f Fact) Entry {
	s.clock = s.clock.Add(time.Hour)
	seq := uint64(len(s.entries) + 1)
	e := Entry{
		Seq: seq, ID: idOf(int(seq)), Who: "Ash",
		HappenedAt: s.clock, RecordedAt: s.clock, Fact: f,
	}
	s.entries = append(s.entries, e)
	return e
}

func idOf(seq int) string { return fmt.Sprintf("E%06d", seq) }

// fold gives the state after everything and holds it to the invariants.
func (s *story) fold() *State {
	s.t.Helper()
	state, err := Fold(s.entries, time.Time{})
	if err != nil {
		s.t.Fatalf("the history does not fold: %v", err)
	}
	if err := state.Check(); err != nil {
		s.t.Fatal(err)
	}
	return state
}

// refuses records a fact, wants the history refused with all the words, and
// takes the fact off again.
func (s *story) refuses(f Fact, words ...string) {
	s.t.Helper()
	s.record(f)
	_, err := Fold(s.entries, time.Time{})
	s.entries = s.entries[:len(s.entries)-1]
	wantProblem(s.t, err, words...)
}

// resolve works a request out against the state at its time.
func (s *story) resolve(r Request) (Fact, []Question, error) {
	s.t.Helper()
	if r.When.IsZero() {
		r.When = s.clock.Add(time.Hour)
	}
	state, err := Fold(s.entries, r.When)
	if err != nil {
		s.t.Fatalf("the history does not fold: %v", err)
	}
	return Resolver{State: state, Now: r.When}.Resolve(r)
}

// does resolves and records a request that must hold.
func (s *story) does(r Request) Fact {
	s.t.Helper()
	f, _, err := s.resolve(r)
	if err != nil {
		s.t.Fatalf("%s: %v", r.Entry, err)
	}
	s.record(f)
	s.fold()
	return f
}

// vessel registers a vessel; a cask is of used oak and stands in the loft.
func (s *story) vessel(code string, kind VesselKind, capacity spirit.Litres) {
	v := Vessel{Code: code, Kind: kind, CapacityL: capacity, Place: "loft"}
	if kind.Wooden() {
		v.Wood, v.WoodState = "oak", UsedWood
	}
	s.record(&VesselFact{v})
}

// batch registers what a run gave on the story's day.
func (s *story) batch(name string, volume spirit.Litres, strength spirit.Strength) {
	s.t.Helper()
	b := Batch{Name: name, MadeOn: DayOf(s.clock), VolumeL: volume, StrengthPct: strength}
	if err := CheckBatch(&b); err != nil {
		s.t.Fatal(err)
	}
	s.record(&BatchFact{Batch: b})
}

func measure(t *testing.T, volume spirit.Litres, strength spirit.Strength) Measure {
	t.Helper()
	return Measure{Amount: litres(t, volume, strength), VolumeL: volume, StrengthPct: strength, Basis: Measured}
}

func litres(t *testing.T, volume spirit.Litres, strength spirit.Strength) spirit.Amount {
	t.Helper()
	a, err := spirit.AmountOf(volume, strength)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func mustDay(t *testing.T, date string) Day {
	t.Helper()
	d, err := ParseDay(date)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func wantProblem(t *testing.T, err error, words ...string) {
	t.Helper()
	if err == nil {
		t.Errorf("nothing was refused, want a problem that says %q", words)
		return
	}
	if KindOf(err) == "" {
		t.Errorf("%v: is no Problem", err)
	}
	for _, word := range words {
		if !strings.Contains(err.Error(), word) {
			t.Errorf("the problem is %q and does not say %q", err, word)
		}
	}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.6g, want %.6g within %g", what, got, want, within)
	}
}

func ptr[T any](v T) *T { return &v }
