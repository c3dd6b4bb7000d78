package cellar

import (
	"testing"

	"example.org/croze/internal/spirit"
)

// evaporated is what left cask A unseen, the share of its wood included: how
// the two are told apart has tests of its own.
func evaporated(s *State) spirit.Amount {
	return s.Balance(Angels).Add(s.Balance(IndrinkAccount("A")))
}

// A full gauge says what is there; the difference goes to the angels, water
// and ethanol each for itself. What was taken comes off after the gauge.
func TestFullGaugePostsTheDifference(t *testing.T) {
	s := filledCask(t)
	s.on("2021-01-01").record(&Sample{
		Vessel:  "A",
		Reading: &Reading{Value: 59, Scale: "corrected", StrengthPct: 59},
		Content: &Content{Method: "volume", Read: 190, VolumeL: 190},
		Taken:   ptr(measure(t, 1, 59)),
	})
	state := s.fold()
	lost := litres(t, 200, 60).Sub(litres(t, 190, 59))
	if got := evaporated(state); got != lost {
		t.Errorf("the angels have %v, want %v", got, lost)
	}
	balance(t, state, VesselAccount("A"), 189, 59)
	events := state.Vessels["A"].Events
	if last := events[len(events)-1]; last.Lost != lost || last.Out != litres(t, 1, 59) {
		t.Errorf("the last line is %+v", last)
	}
	if got := state.StrengthNow("A"); got != 59 {
		t.Errorf("the strength is %v", got)
	}
	s.refuses(&Sample{Vessel: "A", Content: &Content{Method: "volume", VolumeL: 205}}, "volume_l", "205")
}

// Strength alone, or content alone, posts nothing: an estimate is not a gauge.
func TestHalfAGaugePostsNothing(t *testing.T) {
	s := filledCask(t)
	s.on("2021-01-01").record(&Sample{Vessel: "A", Reading: &Reading{StrengthPct: 59}})
	s.record(&Sample{Vessel: "A", Content: &Content{Method: "volume", VolumeL: 190}})
	state := s.fold()
	balance(t, state, VesselAccount("A"), 200, 60)
	if got := state.Balance(Angels); !got.IsZero() {
		t.Errorf("the angels have %v", got)
	}
}

// After years the rest of an emptied vessel is what evaporated from all that
// rested in it, however little of it the books have left.
func TestEmptyingAfterYearsIsEvaporation(t *testing.T) {
	for name, last := range map[string]func(*story) Fact{
		"empty": func(s *story) Fact { return &Empty{Vessel: "A", Measure: ptr(measure(s.t, 180, 60))} },
		"transfer": func(s *story) Fact {
			return &Fill{Pour{Vessel: "T", From: VesselAccount("A"), Measure: measure(s.t, 180, 60), Empties: true}}
		},
		"bottle": func(s *story) Fact {
			return &Bottle{Vessel: "A", Lot: "L1", Measure: measure(s.t, 180, 60), Empties: true}
		},
		"blend": func(s *story) Fact {
			return &Blend{Into: "T", Draws: []BlendDraw{{From: VesselAccount("A"), Measure: measure(s.t, 180, 60), Empties: true}}}
		},
	} {
		s := filledCask(t)
		s.on("2023-01-01").record(last(s))
		state := s.fold()
		near(t, name+": to the angels", float64(evaporated(state).Volume()), 20, 1e-5)
		for _, a := range []Account{Unexplained, Handling} {
			if got := state.Balance(a); !got.IsZero() {
				t.Errorf("%s: %v went to %s", name, got, a)
			}
		}
	}
}

// What was drawn in the meantime rested and evaporated too until then.
func TestEmptyingAfterDraws(t *testing.T) {
	s := filledCask(t)
	s.on("2022-12-31").record(&Draw{Vessel: "A", Measure: measure(t, 170, 60)})
	s.on("2023-01-01").record(&Empty{Vessel: "A", Measure: ptr(measure(t, 10, 60))})
	state := s.fold()
	near(t, "to the angels", float64(evaporated(state).Volume()), 20, 1e-5)
}

// What evaporation cannot have done is unexplained; what is left in the hose
// at a bottling is handling.
func TestWhatEvaporationCannotExplain(t *testing.T) {
	s := filledCask(t)
	s.record(&Empty{Vessel: "A", Measure: ptr(measure(t, 150, 60))})
	state := s.fold()
	const stayed = 2.8290 // 2·√2·hypot(0.02, 0.5 % of 200 L): on the walls, or what two measures err by
	near(t, "on the walls", float64(state.Balance(Handling).Volume()), stayed, 1e-3)
	near(t, "unexplained", float64(state.Balance(Unexplained).Volume()), 50-stayed, 1e-3)
	s = filledCask(t)
	s.record(&Fill{Pour{Vessel: "T", From: VesselAccount("A"), Measure: measure(t, 200, 60)}})
	s.record(&Bottle{Vessel: "T", Lot: "L1", Measure: measure(t, 199, 60), Empties: true})
	balance(t, s.fold(), Handling, 1, 60)
	s = filledCask(t)
	s.record(&Empty{Vessel: "A"})
	near(t, "unexplained", float64(s.fold().Balance(Unexplained).Volume()), 200-stayed, 1e-3)
	s.refuses(&Empty{Vessel: "A"}, "A", "empty")
}

// More than the books have is not emptied out of a vessel.
func TestEmptyOfMoreThanThereIs(t *testing.T) {
	s := filledCask(t)
	s.refuses(&Empty{Vessel: "A", Measure: ptr(measure(t, 203, 60))}, "203", "A holds only")
	s.record(&Empty{Vessel: "A", Measure: ptr(measure(t, 200.1, 60))}) // a reading may err a little
	if got, want := s.fold().Balance(Angels), litres(t, 200, 60).Sub(litres(t, 200.1, 60)); got != want {
		t.Errorf("the angels have %v, want %v", got, want)
	}
}

// A full gauge that finds less than evaporation can leave says so: the angels
// get what they can have had, and the error of two gauges; the rest has no name.
func TestAFullGaugeFindsALeak(t *testing.T) {
	gauged := func(days int, found spirit.Litres) *State {
		s := filledCask(t)
		s.clock = s.clock.AddDate(0, 0, days)
		s.record(&Sample{Vessel: "A", Reading: &Reading{StrengthPct: 60}, Content: &Content{Method: "volume", VolumeL: found}})
		return s.fold()
	}
	for _, c := range []struct {
		days   int
		found  spirit.Litres
		angels float64
		within float64
	}{
		{0, 198, 2, 1e-5},    // a reading errs
		{0, 150, 2.83, 0.01}, // 2·√2 standard uncertainties of hypot(0.02, 0.5 %) of 200 L
		{3 * 365, 140, 60, 1e-5},
		// 200·(1 - exp(-6·0.02·3)), twice the 0.8 L/m² that 1.881 m² may drink, and 2.83
		{3 * 365, 60, 66.304, 0.01},
	} {
		state := gauged(c.days, c.found)
		near(t, "to the angels", float64(evaporated(state).Volume()), c.angels, c.within)
		near(t, "unexplained", float64(state.Balance(Unexplained).Volume()), 200-float64(c.found)-c.angels, c.within)
		balance(t, state, VesselAccount("A"), c.found, 60)
	}
	if got := evaporated(gauged(0, 202)).Volume(); got >= 0 {
		t.Errorf("2 L more than the books have: the angels have %v", got)
	}
}

// Every movement tells what it was made of, losses included, so that what
// became of a batch can be added up.
func TestMovementsTellTheirParts(t *testing.T) {
	s := filledCask(t)
	s.batch("oat 1", 50, 60)
	s.record(&Fill{Pour{Vessel: "T", From: VesselAccount("A"), Measure: measure(t, 100, 60)}})
	s.record(&TopUp{Pour{Vessel: "T", From: BatchAccount("oat 1"), Measure: measure(t, 50, 60)}})
	s.record(&Bottle{Vessel: "T", Lot: "L1", Measure: measure(t, 147, 60), Empties: true})
	sums := make(map[string]int64)
	for _, m := range s.fold().Movements {
		for _, p := range m.Parts {
			if m.To == Handling {
				sums[p.Batch] += p.EthanolMg
			}
		}
	}
	near(t, "rye left in the hose", float64(sums["rye 1"]), float64(litres(t, 2, 60).EthanolMg), 2)
	near(t, "oat left in the hose", float64(sums["oat 1"]), float64(litres(t, 1, 60).EthanolMg), 2)
}
