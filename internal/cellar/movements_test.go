package cellar

import (
	"testing"
	"time"

	"example.org/croze/internal/spirit"
)

// filledCask is a story with a full 200 L cask A, an empty cask B, a tank T
// and a rye batch of which 100 L are left.
func filledCask(t *testing.T) *story {
	t.Helper()
	s := newStory(t)
	s.on("2020-01-01").record(&PlaceFact{Place{Name: "loft"}})
	s.vessel("A", Cask, 200)
	s.vessel("B", Cask, 200)
	s.vessel("T", Tank, 500)
	s.batch("rye 1", 300, 60)
	s.record(&Fill{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 200, 60)}})
	return s
}

func balance(t *testing.T, s *State, a Account, volume spirit.Litres, strength spirit.Strength) {
	t.Helper()
	held := s.Balance(a)
	near(t, string(a)+" volume", float64(held.Volume()), float64(volume), 1e-5)
	// Each mass is rounded to the milligram, and a litre of alcohol has 789 g.
	near(t, string(a)+" strength", float64(held.Strength()), float64(strength), 1e-5+100*0.001/(789*float64(volume)))
}

func TestFill(t *testing.T) {
	s := filledCask(t)
	state := s.fold()
	balance(t, state, VesselAccount("A"), 200, 60)
	balance(t, state, BatchAccount("rye 1"), 100, 60)
	if got := state.Balance(Made); got != litres(t, 300, 60).Neg() {
		t.Errorf("what was made is %v", got)
	}
	v := state.Vessels["A"]
	if e := v.Events[0]; len(v.Events) != 1 || !e.Filled || e.Emptied || e.In != litres(t, 200, 60) || e.Book != e.In {
		t.Errorf("history is %+v", v.Events)
	}
	s.refuses(&Fill{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 1, 60)}}, "vessel", "not empty", "2020-01-01")
	s.refuses(&Fill{Pour{Vessel: "X", From: BatchAccount("rye 1"), Measure: measure(t, 1, 60)}}, "vessel", "X", "registered")
	s.refuses(&Fill{Pour{Vessel: "B", From: BatchAccount("rye 9"), Measure: measure(t, 1, 60)}}, "from", "rye 9", "registered")
	s.refuses(&Fill{Pour{Vessel: "B", From: VesselAccount("T"), Measure: measure(t, 1, 60)}}, "T", "empty")
	s.refuses(&Fill{Pour{Vessel: "B", From: VesselAccount("X"), Measure: measure(t, 1, 60)}}, "X", "registered")
	s.refuses(&Fill{Pour{Vessel: "B", From: VesselAccount("B"), Measure: measure(t, 1, 60)}}, "itself")
	s.refuses(&Fill{Pour{Vessel: "B", From: Angels, Measure: measure(t, 1, 60)}}, "from", "cannot be taken")
	s.refuses(&Fill{Pour{Vessel: "B", From: LotAccount("L1"), Measure: measure(t, 1, 60)}}, "from", "cannot be taken")
	s.refuses(&Fill{Pour{Vessel: "B", From: BatchAccount("rye 1"), Measure: measure(t, 104, 60)}}, "pure alcohol", "rye 1")
	s.refuses(&Fill{Pour{Vessel: "T", From: VesselAccount("A"), Measure: measure(t, 201, 60)}}, "A holds only")
	s.refuses(&Fill{Pour{Vessel: "T", From: VesselAccount("A"), Measure: measure(t, 195, 65)}}, "pure alcohol")
}

// Two per cent over is the limit of a vessel, and a spoonful for rounding.
func TestCapacity(t *testing.T) {
	s := filledCask(t)
	for volume, fits := range map[spirit.Litres]bool{20.4: true, 20.5: false, 20: true} {
		s.vessel("S", Cask, 20)
		f := &Fill{Pour{Vessel: "S", From: BatchAccount("rye 1"), Measure: measure(t, volume, 60)}}
		if fits {
			s.record(f)
			s.fold()
			s.entries = s.entries[:len(s.entries)-1]
		} else {
			s.refuses(f, "volume_l", "20.5", "20 L", "2 %")
		}
	}
	s.refuses(&TopUp{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 10, 60)}}, "volume_l", "at least 200 L")
	s.on("2022-01-01").record(&TopUp{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 10, 60)}})
	s.fold() // room that evaporation made, though the books do not know how much
}

// Spirit and water together take less room than apart, so a vessel that holds
// the reduced spirit must be let hold it.
func TestReductionIsNotRefusedForItsContraction(t *testing.T) {
	s := newStory(t)
	s.vessel("T", Tank, 135)
	s.batch("rye 1", 100, 63)
	s.record(&Fill{Pour{Vessel: "T", From: BatchAccount("rye 1"), Measure: measure(t, 100, 63)}})
	r, err := spirit.Reduce(100, 63, 46)
	if err != nil {
		t.Fatal(err)
	}
	const limit = 135 * (1 + OverfillFraction)
	if sum := 100 + r.WaterVolume; !(sum > limit && r.Volume < limit) {
		t.Fatalf("the test is about spirit and water of more than %g L that make less: %g and %g", limit, sum, r.Volume)
	}
	water, err := spirit.Water(r.Water)
	if err != nil {
		t.Fatal(err)
	}
	s.record(&Reduce{Vessel: "T", Water: water})
	balance(t, s.fold(), VesselAccount("T"), r.Volume, 46)
}

func TestTopUpAndTransfer(t *testing.T) {
	s := filledCask(t)
	s.refuses(&TopUp{Pour{Vessel: "B", From: BatchAccount("rye 1"), Measure: measure(t, 1, 60)}}, "B", "empty on 2020-01-01", "fill")
	s.record(&Draw{Vessel: "A", Measure: measure(t, 50, 60)})
	s.record(&TopUp{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 20, 60)}})
	s.record(&Fill{Pour{Vessel: "T", From: BatchAccount("rye 1"), Measure: measure(t, 80, 60)}})
	s.record(&Transfer{Pour{Vessel: "T", From: VesselAccount("A"), Measure: measure(t, 170, 60), Empties: true}})
	state := s.fold()
	balance(t, state, VesselAccount("T"), 250, 60)
	balance(t, state, Drawn, 50, 60)
	if !state.IsEmpty("A") || !state.Balance(VesselAccount("A")).IsZero() {
		t.Errorf("A holds %v after everything left it", state.Balance(VesselAccount("A")))
	}
	events := state.Vessels["A"].Events
	if last := events[len(events)-1]; !last.Emptied || last.Out.Volume() < 169 {
		t.Errorf("the last line of A is %+v", last)
	}
	s.refuses(&Transfer{Pour{Vessel: "A", From: VesselAccount("T"), Measure: measure(t, 1, 60)}}, "A", "only a fill")
}

func TestDrawSpillAndSample(t *testing.T) {
	s := filledCask(t)
	s.record(&Draw{Vessel: "A", Measure: measure(t, 10, 60)})
	s.record(&Spill{Vessel: "A", Measure: measure(t, 5, 60)})
	s.record(&Sample{Vessel: "A", Taken: ptr(measure(t, 0.2, 60)), Senses: &Senses{Nose: "pear skin"}})
	state := s.fold()
	balance(t, state, VesselAccount("A"), 184.8, 60)
	balance(t, state, Drawn, 10, 60)
	balance(t, state, Spilled, 5, 60)
	balance(t, state, Samples, 0.2, 60)
	s.refuses(&Draw{Vessel: "A", Measure: measure(t, 186, 60)}, "volume_l", "186", "A holds only")
	s.refuses(&Spill{Vessel: "A", Measure: measure(t, 186, 60)}, "A holds only")
	s.refuses(&Sample{Vessel: "A", Taken: ptr(measure(t, 186, 60))}, "A holds only")
	s.refuses(&Draw{Vessel: "B", Measure: measure(t, 1, 60)}, "B", "empty")
	s.refuses(&Sample{Vessel: "B", Note: "?"}, "B", "empty")
}

func TestMoveNoteAndLot(t *testing.T) {
	s := filledCask(t)
	s.record(&PlaceFact{Place{Name: "shed"}})
	s.record(&Move{Vessel: "A", Place: "shed"})
	s.record(&Note{About: VesselAccount("A"), Note: "weeps at the head"})
	s.record(&Note{About: BatchAccount("rye 1"), Note: "slow ferment"})
	state := s.fold()
	if got := state.Vessels["A"].PlacedAt; got != "shed" {
		t.Errorf("A stands in %q", got)
	}
	if len(state.Remarks) != 2 || len(state.Vessels["A"].Events) != 3 {
		t.Errorf("%d remarks and %d lines of history", len(state.Remarks), len(state.Vessels["A"].Events))
	}
	s.refuses(&Move{Vessel: "A", Place: "barn"}, "place", "barn")
	s.refuses(&Move{Vessel: "X", Place: "shed"}, "vessel", "X")
	s.refuses(&Note{About: VesselAccount("X"), Note: "?"}, "vessel", "X")
}

func TestBottle(t *testing.T) {
	s := filledCask(t)
	bottling := &Bottle{
		Vessel: "A", Lot: "L1", Bottles: []Bottles{{0.7, 100}}, LabelPct: 60, Measure: measure(t, 70, 60),
	}
	s.on("2020-01-31").record(bottling)
	s.refuses(bottling, "lot", "L1", "already")
	s.record(&Bottle{Vessel: "A", Lot: "L2", Bottles: []Bottles{{0.5, 250}}, LabelPct: 60, Measure: measure(t, 125, 60), Empties: true})
	state := s.fold()
	if lot := state.Lots["L1"]; lot.Youngest != 30 || lot.Vessel != "A" || DayOf(lot.At) != mustDay(t, "2020-01-31") {
		t.Errorf("the lot is %+v", lot)
	}
	balance(t, state, LotAccount("L1"), 70, 60)
	balance(t, state, LotAccount("L2"), 125, 60)
	if !state.IsEmpty("A") {
		t.Error("A is not empty")
	}
	if got := state.AgesOn(LotAccount("L1"), mustDay(t, "2030-01-01")); got.Youngest != 30 {
		t.Errorf("spirit in bottles ages: %+v", got)
	}
	s.refuses(&Bottle{Vessel: "A", Lot: "L3", Measure: measure(t, 1, 60)}, "A", "empty")
}

func TestBlend(t *testing.T) {
	s := filledCask(t)
	s.vessel("M", Tank, 300)
	s.record(&Fill{Pour{Vessel: "B", From: BatchAccount("rye 1"), Measure: measure(t, 100, 60)}})
	water := litres(t, 40, 0)
	s.record(&Blend{Into: "M", Water: water, Draws: []BlendDraw{
		{From: VesselAccount("A"), Measure: measure(t, 50, 60)},
		{From: VesselAccount("B"), Measure: measure(t, 100, 60), Empties: true},
	}})
	state := s.fold()
	if got, want := state.Balance(VesselAccount("M")), litres(t, 50, 60).Add(litres(t, 100, 60)).Add(water); got != want {
		t.Errorf("M holds %v, want %v", got, want)
	}
	if got := state.Balance(WaterIn); got != water.Neg() {
		t.Errorf("water is %v", got)
	}
	if e := state.Vessels["M"].Events[0]; !e.Filled || !state.IsEmpty("B") {
		t.Errorf("M has %+v", e)
	}
	draws := func(from Account, volume spirit.Litres) []BlendDraw {
		return []BlendDraw{{From: from, Measure: measure(t, volume, 60)}}
	}
	s.refuses(&Blend{Into: "M", Draws: draws(VesselAccount("M"), 1)}, "itself")
	s.refuses(&Blend{Into: "M", Draws: draws(VesselAccount("B"), 1)}, "B", "empty")
	s.refuses(&Blend{Into: "M", Draws: draws(VesselAccount("A"), 130)}, "M", "300")
	s.refuses(&Blend{Into: "M", Draws: draws(VesselAccount("A"), 1), Water: litres(t, 130, 0)}, "M", "300")
	s.refuses(&Blend{Into: "T", Draws: append(draws(VesselAccount("A"), 90), draws(VesselAccount("A"), 90)...)}, "A holds only")
	s.record(&Blend{Into: "M", Draws: draws(VesselAccount("A"), 10)})
	events := s.fold().Vessels["M"].Events
	if events[1].Filled {
		t.Error("a blend into a vessel that holds some begins a new filling")
	}
}

// A batch whose volume was not stated gives as much as is filled from it; one
// that was weakened before the fill took water.
func TestOpenAndReducedBatches(t *testing.T) {
	s := newStory(t)
	s.vessel("A", Cask, 200)
	s.vessel("B", Cask, 200)
	s.batch("cider 1", 0, 70)
	s.batch("rye 1", 100, 80)
	s.record(&Fill{Pour{Vessel: "A", From: BatchAccount("cider 1"), Measure: measure(t, 150, 63)}})
	state := s.fold()
	if got := state.Balance(Made); got != litres(t, 150, 63).Add(litres(t, 100, 80)).Neg() {
		t.Errorf("what was made is %v", got)
	}
	s.record(&Fill{Pour{Vessel: "B", From: BatchAccount("rye 1"), Measure: measure(t, 126, 63)}})
	state = s.fold()
	balance(t, state, VesselAccount("B"), 126, 63)
	if got := state.Balance(WaterIn); !(got.EthanolMg == 0 && got.WaterMg < -25_000_000) {
		t.Errorf("water is %v", got)
	}
}

// A batch is there on the whole of the day on which it was made, in whatever
// zone; not before.
func TestABatchIsMadeFirstThatDay(t *testing.T) {
	s := newStory(t)
	s.vessel("A", Cask, 200)
	s.on("2020-03-01").batch("rye 1", 100, 60)
	s.entries[1].HappenedAt = mustDay(t, "2020-03-01").Time()
	f := &Fill{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 100, 60)}}
	east := time.FixedZone("", 13*3600)
	e := s.record(f)
	s.entries[e.Seq-1].HappenedAt = time.Date(2020, 3, 1, 7, 0, 0, 0, east) // 29 February in UTC
	balance(t, s.fold(), VesselAccount("A"), 100, 60)
	s.entries[e.Seq-1].HappenedAt = mustDay(t, "2020-03-01").Time() // the same instant
	balance(t, s.fold(), VesselAccount("A"), 100, 60)
	s.entries[e.Seq-1].HappenedAt = time.Date(2020, 2, 29, 23, 0, 0, 0, time.UTC)
	_, err := Fold(s.entries, time.Time{})
	wantProblem(t, err, "rye 1", "made on 2020-03-01")
}

// Left-overs leave where they were and go into the run.
func TestCarriedInLeftOvers(t *testing.T) {
	s := filledCask(t)
	s.on("2020-06-01")
	left := litres(t, 20, 60)
	run := func(made spirit.Amount, empties bool) *BatchFact {
		return &BatchFact{
			Batch:     Batch{Name: "rye 2", MadeOn: DayOf(s.clock), Made: made},
			CarriedIn: []Carry{{From: VesselAccount("A"), Amount: left, Empties: empties}, {From: BatchAccount("rye 1"), Amount: left}},
		}
	}
	s.record(run(litres(t, 100, 70), true))
	state := s.fold()
	if got, want := state.Balance(BatchAccount("rye 2")), litres(t, 100, 70); got != want {
		t.Errorf("the run gave %v, want %v", got, want)
	}
	balance(t, state, BatchAccount("rye 1"), 80, 60)
	if !state.IsEmpty("A") {
		t.Error("the left-overs of A are still in it")
	}
	fresh := litres(t, 300, 60).Add(litres(t, 100, 70)).Sub(left).Sub(left)
	if got := state.Balance(Made); got != fresh.Neg() {
		t.Errorf("what was made is %v, want %v", got, fresh)
	}
	s.entries = s.entries[:len(s.entries)-1]
	s.refuses(run(litres(t, 20, 70), false), "rye 2", "left-overs", "more alcohol")
}

// The first use of a run posts it. Where the run took all of a vessel and the
// vessel is what it is put back into, the vessel is not empty after that.
func TestARunPutBackWhereItCameFrom(t *testing.T) {
	s := filledCask(t)
	s.record(&BatchFact{
		Batch:     Batch{Name: "rye 2", Made: litres(t, 165, 75)}, // no day: posted when first used
		CarriedIn: []Carry{{From: VesselAccount("A"), Amount: litres(t, 200, 60), Empties: true}},
	})
	s.record(&TopUp{Pour{Vessel: "A", From: BatchAccount("rye 2"), Measure: measure(t, 3, 75)}})
	state := s.fold()
	balance(t, state, VesselAccount("A"), 3, 75)
	events := state.Vessels["A"].Events
	if last := events[len(events)-1]; state.IsEmpty("A") || last.Emptied || !last.Filled {
		t.Errorf("A holds spirit and its last line is %+v", last)
	}
}

// The last fill from a run can say that nothing is left of it: what the still
// was written down to have given and no vessel got is put down to handling.
func TestTheRestOfABatchIsWrittenOff(t *testing.T) {
	s := filledCask(t)
	s.record(&Fill{Pour{Vessel: "B", From: BatchAccount("rye 1"), Measure: measure(t, 98.5, 60), Empties: true}})
	state := s.fold()
	if got := state.Balance(BatchAccount("rye 1")); !got.IsZero() {
		t.Errorf("%v is left of the run", got)
	}
	balance(t, state, Handling, 1.5, 60)
}
