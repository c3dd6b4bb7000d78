package cellar

import (
	"maps"
	"reflect"
	"slices"
	"testing"
	"time"
)

// A sample that is written up late falls in its place: the state is the same
// as if it had been written at once.
func TestLateEntryFallsInItsPlace(t *testing.T) {
	build := func(order []int) *State {
		s := filledCask(t)
		facts := []struct {
			date string
			fact Fact
		}{
			{"2021-01-01", &Sample{Vessel: "A", Reading: &Reading{StrengthPct: 59.5}, Content: &Content{VolumeL: 194}}},
			{"2021-06-01", &Draw{Vessel: "A", Measure: measure(t, 30, 59.4)}},
			{"2022-01-01", &Sample{Vessel: "A", Reading: &Reading{StrengthPct: 59.1}, Content: &Content{VolumeL: 160}}},
			{"2022-02-01", &TopUp{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 20, 60)}}},
		}
		for _, i := range order {
			s.on(facts[i].date).record(facts[i].fact)
		}
		return s.fold()
	}
	want := build([]int{0, 1, 2, 3})
	for _, order := range [][]int{{1, 0, 2, 3}, {3, 2, 1, 0}, {2, 3, 0, 1}} {
		if got := build(order); !reflect.DeepEqual(plain(got), plain(want)) {
			t.Errorf("written in the order %v the state is\n%+v, want\n%+v", order, plain(got), plain(want))
		}
	}
}

// plainState is a state without the numbers that say when it was written down.
type plainState struct {
	Vessels   map[string]VesselState
	Batches   map[string]BatchState
	Lots      map[string]Lot
	Places    map[string]Place
	Movements []Movement
	Remarks   []Remark
	Holders   map[Account]*holder
	Ends      map[Account]any
	Aliases   map[string]string

	Closings     []Closing
	Limits       map[VesselKind]float64
	Explanations []Explanation

	Rounds []Begun
	Skips  []Skipped
	Aims   []Aimed
	Rhythm map[VesselKind]int
	Plans  []Planned
	Costs  map[string]costed
	Desk   Desk
}

func plain(s *State) plainState {
	p := plainState{
		Vessels: make(map[string]VesselState), Batches: make(map[string]BatchState), Lots: make(map[string]Lot),
		Places: s.Places, Holders: s.holders, Ends: make(map[Account]any), Aliases: s.aliases,
		Movements: slices.Clone(s.Movements), Remarks: slices.Clone(s.Remarks),
		Closings: slices.Clone(s.Closings), Limits: s.Limits, Explanations: slices.Clone(s.Explanations),
		Rounds: slices.Clone(s.Rounds), Skips: slices.Clone(s.Skips), Aims: slices.Clone(s.Aims), Rhythm: s.Rhythm,
		Plans: slices.Clone(s.Plans), Costs: maps.Clone(s.costs), Desk: s.Desk.plain(),
	}
	for code, v := range s.Vessels {
		copied := *v
		copied.Events = slices.Clone(v.Events)
		for i := range copied.Events {
			copied.Events[i].Entry = unnumbered(copied.Events[i].Entry)
		}
		p.Vessels[code] = copied
	}
	for name, b := range s.Batches {
		p.Batches[name] = *b
	}
	for name, l := range s.Lots {
		p.Lots[name] = *l
	}
	for a, held := range s.ends {
		p.Ends[a] = held
	}
	for i := range p.Movements {
		p.Movements[i].Seq = 0
	}
	for i := range p.Remarks {
		p.Remarks[i].Entry = unnumbered(p.Remarks[i].Entry)
	}
	for i := range p.Closings {
		p.Closings[i].Entry = unnumbered(p.Closings[i].Entry)
	}
	for i := range p.Explanations {
		p.Explanations[i].Entry = unnumbered(p.Explanations[i].Entry)
	}
	for i := range p.Rounds {
		p.Rounds[i].Entry = unnumbered(p.Rounds[i].Entry)
	}
	for i := range p.Skips {
		p.Skips[i].Entry = unnumbered(p.Skips[i].Entry)
	}
	for i := range p.Aims {
		p.Aims[i].Entry = unnumbered(p.Aims[i].Entry)
	}
	for i := range p.Plans {
		p.Plans[i].Entry = unnumbered(p.Plans[i].Entry)
	}
	return p
}

func unnumbered(e Entry) Entry {
	e.Seq, e.ID, e.RecordedAt = 0, "", time.Time{}
	return e
}

// A late entry that makes a later one impossible is refused, and the later one
// is named.
func TestALateEntryMustLeaveTheRestPossible(t *testing.T) {
	s := filledCask(t)
	s.on("2021-01-01").record(&Draw{Vessel: "A", Measure: measure(t, 150, 60)})
	s.on("2020-06-01").refuses(&Draw{Vessel: "A", Measure: measure(t, 100, 60)}, "entry 7", "draw of A", "2021-01-01", "holds only")
}

// Fold up to a time takes what happened at that time, and nothing after.
func TestFoldUntil(t *testing.T) {
	s := filledCask(t)
	e := s.on("2021-01-01").record(&Draw{Vessel: "A", Measure: measure(t, 150, 60)})
	for shift, want := range map[time.Duration]float64{-time.Nanosecond: 200, 0: 50, time.Hour: 50} {
		state, err := Fold(s.entries, e.HappenedAt.Add(shift))
		if err != nil {
			t.Fatal(err)
		}
		near(t, shift.String(), float64(state.Balance(VesselAccount("A")).Volume()), want, 1e-5)
	}
}

// A void brings back exactly what was before; a void of the void, what was in
// between.
func TestVoidAndVoidOfVoid(t *testing.T) {
	s := filledCask(t)
	before := plain(s.fold())
	e := s.record(&Fill{Pour{Vessel: "B", From: VesselAccount("A"), Measure: measure(t, 200, 60), Empties: true}})
	after := plain(s.fold())
	if reflect.DeepEqual(before, after) {
		t.Fatal("the fill did nothing")
	}
	for i, want := range []plainState{before, after, before} {
		e = s.record(&Void{Entry: e.ID, Reason: "wrong cask"})
		if got := plain(s.fold()); !reflect.DeepEqual(got, want) {
			t.Errorf("after %d voids the state is\n%+v, want\n%+v", i+1, got, want)
		}
	}
	if got := len(Standing(s.entries)); got != 8 {
		t.Errorf("%d entries stand, want the 6 first and 2 of the voids", got)
	}
}

// Two voids of one entry: taking one of them back leaves the other.
func TestTwoVoidsOfOneEntry(t *testing.T) {
	s := filledCask(t)
	before := plain(s.fold())
	e := s.record(&Draw{Vessel: "A", Measure: measure(t, 10, 60)})
	first := s.record(&Void{Entry: e.ID})
	s.record(&Void{Entry: e.ID})
	s.record(&Void{Entry: first.ID})
	if got := plain(s.fold()); !reflect.DeepEqual(got, before) {
		t.Error("the second void does not stand")
	}
}

// A void takes back what was written before it: one that names an entry to
// come, or itself, does nothing.
func TestAVoidDoesNotReachForward(t *testing.T) {
	s := filledCask(t)
	next := len(s.entries) + 1
	s.record(&Void{Entry: idOf(next)})     // itself
	s.record(&Void{Entry: idOf(next + 2)}) // the draw to come
	s.record(&Draw{Vessel: "A", Measure: measure(t, 10, 60)})
	balance(t, s.fold(), VesselAccount("A"), 190, 60)
	if got := len(Standing(s.entries)); got != len(s.entries) {
		t.Errorf("%d of %d entries stand", got, len(s.entries))
	}
}

// What others rest on cannot be taken back.
func TestVoidOfWhatIsInUse(t *testing.T) {
	s := filledCask(t)
	for _, e := range slices.Clone(s.entries) {
		switch e.Fact.Kind() {
		case "vessel":
			if e.Fact.(*VesselFact).Code == "A" {
				s.refuses(&Void{Entry: e.ID}, "vessel", "A", "registered")
			}
		case "batch":
			s.refuses(&Void{Entry: e.ID}, "rye 1", "registered")
		}
	}
	fill := s.entries[len(s.entries)-1]
	s.record(&Draw{Vessel: "A", Measure: measure(t, 10, 60)})
	s.refuses(&Void{Entry: fill.ID}, "draw of A", "empty")
}

// An unnamed batch goes with the fill that opened it, and is the registered
// one once somebody registers its name.
func TestUnnamedBatch(t *testing.T) {
	s := newStory(t)
	s.on("2020-01-01").vessel("A", Cask, 200)
	f := s.does(Request{Entry: "fill", Vessel: "A", VolumeL: ptr(100.0), StrengthPct: ptr(63.0)}).(*Fill)
	fill := s.entries[len(s.entries)-1]
	name, _ := f.From.Batch()
	b := s.fold().Batches[name]
	if name != "A 2020-01-01" || !b.Unnamed || b.MadeOn != mustDay(t, "2020-01-01") {
		t.Errorf("the batch of %s is %+v", name, b)
	}
	if got := s.fold().Balance(BatchAccount(name)); !got.IsZero() {
		t.Errorf("the unnamed batch has %v left", got)
	}
	s.record(&BatchFact{Batch: Batch{Name: name, MadeOn: mustDay(t, "2019-12-30"), StrengthPct: 63, Grains: map[string]float64{"oat": 1}}})
	state := s.fold()
	if got := state.Batches[name]; got.Unnamed || got.Grains["oat"] != 1 {
		t.Errorf("the registered batch is %+v", got)
	}
	balance(t, state, VesselAccount("A"), 100, 63)
	s.entries = s.entries[:len(s.entries)-1]
	s.record(&Void{Entry: fill.ID})
	if got := s.fold().BatchNames(); len(got) != 0 {
		t.Errorf("batches are %v after the fill was taken back", got)
	}
}
