package cellar

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/spirit"
)

// The checker finds what it is there for: each kind of damage to a sound state.
func TestCheckFindsDamage(t *testing.T) {
	a := VesselAccount("A")
	for what, c := range map[string]struct {
		damage func(*State)
		says   string
	}{
		"a milligram of water from nowhere": {func(s *State) {
			h := s.held(a)
			h.Amount.WaterMg++
			s.holders[a] = &h
		}, "do not balance: 0 mg of ethanol and 1 mg of water"},
		"a milligram lost at an end": {func(s *State) {
			s.ends[Drawn] = s.ends[Drawn].Sub(spirit.Amount{EthanolMg: 1})
		}, "-1 mg of ethanol"},
		"parts that do not add up": {func(s *State) { s.holders[a].Parts[0].EthanolMg-- }, "parts of vessel:A add up"},
		"less than nothing": {func(s *State) {
			h := s.held(a)
			over := h.Amount.Add(spirit.Amount{WaterMg: 1})
			h.Amount = h.Amount.Sub(over)
			s.holders[a] = &h
			s.ends[Drawn] = s.ends[Drawn].Add(over)
		}, "less than nothing"},
		"a movement that nobody recorded": {func(s *State) {
			s.ends[Drawn] = s.ends[Drawn].Add(spirit.Amount{WaterMg: 5})
			s.ends[Spilled] = s.ends[Spilled].Sub(spirit.Amount{WaterMg: 5})
		}, "movements of"},
		"a movement without its parts": {func(s *State) { s.Movements[1].Parts = nil }, "by entry 6 add up to 0 mg"},
		"spirit that changed its origin": {func(s *State) {
			h := s.held(a)
			h.Parts[0].Batch = "oat 9"
		}, "of batch"},
	} {
		s := filledCask(t)
		s.record(&Draw{Vessel: "A", Measure: measure(t, 10, 60)})
		s.record(&Spill{Vessel: "A", Measure: measure(t, 1, 60)})
		state := s.fold()
		c.damage(state)
		if err := state.Check(); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: the checker says %v", what, err)
		}
	}
}

// Water alone makes no spirit: a gauge that finds alcohol where none came in
// is a missing entry, not a gain.
func TestAlcoholFromNowhere(t *testing.T) {
	s := newStory(t)
	s.vessel("T", Tank, 100)
	s.record(&Blend{Into: "T", Water: litres(t, 50, 0)})
	s.refuses(&Sample{Vessel: "T", Reading: &Reading{StrengthPct: 5}, Content: &Content{VolumeL: 50}}, "strength_pct", "no alcohol in T")
	s.record(&Sample{Vessel: "T", Reading: &Reading{StrengthPct: 0}, Content: &Content{VolumeL: 49}})
	balance(t, s.fold(), VesselAccount("T"), 49, 0)
	s.refuses(&Reduce{Vessel: "T", Water: litres(t, 1, 5)}, "water", "alcohol")
}

// A refused entry leaves the state as it was, half-done steps included.
func TestRefusedEntriesLeaveNoTrace(t *testing.T) {
	s := filledCask(t)
	s.record(&Fill{Pour{Vessel: "B", From: BatchAccount("rye 1"), Measure: measure(t, 50, 60)}})
	live, want := s.fold(), plain(s.fold())
	for _, f := range []Fact{
		&Blend{Into: "T", Draws: []BlendDraw{{From: VesselAccount("A"), Measure: measure(t, 100, 60), Empties: true}, {From: VesselAccount("B"), Measure: measure(t, 60, 60)}}},
		&Sample{Vessel: "A", Reading: &Reading{StrengthPct: 50}, Content: &Content{VolumeL: 100}, Taken: ptr(measure(t, 150, 60))},
		&Fill{Pour{Vessel: "T", From: BatchAccount("T 2020-01-01"), Measure: measure(t, 520, 60)}},
		&VesselFact{Vessel{Code: "C", Kind: Cask, CapacityL: 10, MakerCode: "a"}},
		&BatchFact{Batch: Batch{Name: "rye 2", MadeOn: mustDay(t, "2020-01-01"), Made: spirit.Amount{WaterMg: -1}}},
		&Move{Vessel: "A", Place: "barn"},
	} {
		e := Entry{Seq: 99, ID: "E99", HappenedAt: s.clock.Add(time.Hour), Fact: f}
		tested, extended := live.Test(e), live.Extend(e)
		wantProblem(t, tested)
		wantProblem(t, extended)
		if got := plain(live); !reflect.DeepEqual(got, want) {
			t.Errorf("the refused %s left a trace", f.Kind())
		}
	}
}
