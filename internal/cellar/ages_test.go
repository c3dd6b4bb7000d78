package cellar

import (
	"reflect"
	"slices"
	"testing"
	"time"

	"example.org/croze/internal/spirit"
)

func everything(t *testing.T, s *State, code string) Measure {
	t.Helper()
	held := s.Balance(VesselAccount(code))
	return Measure{Amount: held, VolumeL: held.Volume(), StrengthPct: held.Strength()}
}

// Days count in each wood while the spirit stands in it, and not in a tank.
func TestDaysInEachWood(t *testing.T) {
	s := newStory(t)
	s.on("2020-01-01").vessel("A", Cask, 100)
	s.record(&VesselFact{Vessel{Code: "B", Kind: Jar, CapacityL: 100, Wood: "apple", WoodState: NewWood}})
	s.record(&VesselFact{Vessel{Code: "C", Kind: Hybrid, CapacityL: 100}})
	s.vessel("T", Tank, 100)
	s.batch("rye 1", 80, 63)
	s.on("2020-01-11").record(&Fill{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 60, 63)}})
	for _, step := range []struct{ date, from, to string }{
		{"2020-02-10", "A", "T"}, // 30 days in oak
		{"2020-03-01", "T", "B"}, // 20 in steel
		{"2020-03-06", "B", "C"}, // 5 in apple wood
		{"2020-03-16", "C", "A"}, // 10 in wood of no name
	} {
		s.on(step.date)
		m := everything(t, s.fold(), step.from)
		s.record(&Fill{Pour{Vessel: step.to, From: VesselAccount(step.from), Measure: m, Empties: true}})
	}
	state := s.fold()
	on := mustDay(t, "2020-03-20") // 4 more in oak
	contents := state.ContentsOn(VesselAccount("A"), on)
	want := []Part{{
		Batch: "rye 1", FirstWood: mustDay(t, "2020-01-11"), EthanolMg: litres(t, 60, 63).EthanolMg,
		Wood: []WoodTime{{"apple, new", 5}, {"oak, used", 34}, {"wood", 10}},
	}}
	if !reflect.DeepEqual(contents.Parts, want) {
		t.Errorf("parts are\n%+v, want\n%+v", contents.Parts, want)
	}
	if got, want := state.AgesOn(VesselAccount("A"), on), (Ages{Youngest: 49, Mean: 49, Oldest: 49, Calendar: 69}); got != want {
		t.Errorf("ages are %+v, want %+v", got, want)
	}
	if got := state.AgesOn(VesselAccount("T"), on); got != (Ages{}) {
		t.Errorf("an empty tank has the ages %+v", got)
	}
}

// A blend is as old as its youngest part; the mean goes by alcohol.
func TestYoungestMeanAndOldest(t *testing.T) {
	s := newStory(t)
	s.on("2020-01-01").vessel("A", Cask, 200)
	s.vessel("B", Cask, 200)
	s.batch("rye 1", 150, 60)
	s.record(&Fill{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 150, 60)}})
	s.on("2020-04-10").batch("oat 1", 100, 60) // 100 days on
	s.record(&Fill{Pour{Vessel: "B", From: BatchAccount("oat 1"), Measure: measure(t, 100, 60)}})
	s.record(&TopUp{Pour{Vessel: "A", From: VesselAccount("B"), Measure: measure(t, 50, 60)}})
	state := s.fold()
	if got, want := state.AgesOn(VesselAccount("A"), mustDay(t, "2020-04-20")), (Ages{Youngest: 10, Mean: 85, Oldest: 110, Calendar: 110}); got != want {
		t.Errorf("ages are %+v, want %+v", got, want)
	}
	if got, want := state.AgesOn(VesselAccount("B"), mustDay(t, "2020-04-20")), (Ages{10, 10, 10, 10}); got != want {
		t.Errorf("ages of what was left behind are %+v, want %+v", got, want)
	}
	// An age before the last movement is that of its day.
	if got := state.AgesOn(VesselAccount("A"), mustDay(t, "2020-02-01")); got.Oldest != 100 {
		t.Errorf("the oldest part is %d days old, want 100", got.Oldest)
	}
}

// What leaves is made as what stays: by batch in proportion to the alcohol.
func TestADrawTakesOfEveryPart(t *testing.T) {
	s := newStory(t)
	s.on("2020-01-01").vessel("A", Tank, 200)
	s.vessel("B", Cask, 200)
	s.batch("rye 1", 60, 60)
	s.batch("oat 1", 40, 60)
	s.record(&Fill{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 60, 60)}})
	s.record(&TopUp{Pour{Vessel: "A", From: BatchAccount("oat 1"), Measure: measure(t, 40, 60)}})
	s.record(&Fill{Pour{Vessel: "B", From: VesselAccount("A"), Measure: measure(t, 25, 60)}})
	state := s.fold()
	for code, whole := range map[string]spirit.Litres{"A": 75, "B": 25} {
		shares := BatchShares(state.ContentsOn(VesselAccount(code), 0).Parts)
		near(t, code+" rye", shares["rye 1"], 0.6, 1e-6)
		near(t, code+" oat", shares["oat 1"], 0.4, 1e-6)
		near(t, code+" volume", float64(state.Balance(VesselAccount(code)).Volume()), float64(whole), 1e-5)
	}
	if firsts := firstWoods(state, "A"); !reflect.DeepEqual(firsts, []Day{0, 0}) {
		t.Errorf("spirit in a tank met wood on %v", firsts)
	}
	if firsts := firstWoods(state, "B"); !reflect.DeepEqual(firsts, []Day{mustDay(t, "2020-01-01"), mustDay(t, "2020-01-01")}) {
		t.Errorf("spirit in a cask met wood on %v", firsts)
	}
}

func firstWoods(s *State, code string) []Day {
	var firsts []Day
	for _, p := range s.ContentsOn(VesselAccount(code), 0).Parts {
		firsts = append(firsts, p.FirstWood)
	}
	return firsts
}

// Entries of one day written in different zones can step back over midnight;
// no day may be counted twice for that.
func TestNoDayIsCountedTwiceAcrossZones(t *testing.T) {
	s := newStory(t)
	s.on("2020-01-01").vessel("A", Cask, 200)
	s.batch("rye 1", 100, 60)
	s.record(&Fill{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 50, 60)}})
	east, west := time.FixedZone("", 9*3600), time.FixedZone("", -9*3600)
	for _, at := range []time.Time{
		time.Date(2020, 1, 11, 6, 0, 0, 0, east),  // the 10th in UTC
		time.Date(2020, 1, 10, 13, 0, 0, 0, west), // an hour later, a day back on the wall
		time.Date(2020, 1, 11, 8, 0, 0, 0, east),
	} {
		e := s.record(&TopUp{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 1, 60)}})
		s.entries[e.Seq-1].HappenedAt = at
	}
	if got := s.fold().AgesOn(VesselAccount("A"), mustDay(t, "2020-01-21")); got.Oldest != 20 || got.Calendar != 20 {
		t.Errorf("20 days after the fill the ages are %+v", got)
	}
}

// Redistilled spirit begins again: a run of left-overs must not carry the age
// of a cask into an age statement. Where it came from stays known.
func TestARunOfLeftOversBeginsAgain(t *testing.T) {
	s := newStory(t)
	s.on("2020-01-01").vessel("A", Cask, 100)
	s.batch("rye 1", 50, 60)
	s.record(&Fill{Pour{Vessel: "A", From: BatchAccount("rye 1"), Measure: measure(t, 50, 60)}})
	s.on("2022-01-01")
	left := litres(t, 50, 60)
	s.record(&BatchFact{
		Batch:     Batch{Name: "rye 2", MadeOn: DayOf(s.clock), Made: litres(t, 37, 81.2)},
		CarriedIn: []Carry{{From: VesselAccount("A"), Amount: left}},
	})
	s.vessel("B", Cask, 100)
	s.record(&Fill{Pour{Vessel: "B", From: BatchAccount("rye 2"), Measure: measure(t, 30, 81)}})
	state := s.fold()
	if got := state.AgesOn(VesselAccount("B"), mustDay(t, "2022-01-31")); got != (Ages{30, 30, 30, 30}) {
		t.Errorf("30 days after the second run the ages are %+v", got)
	}
	var names []string
	for _, p := range state.ContentsOn(VesselAccount("B"), 0).Parts {
		names = append(names, p.Batch)
	}
	if !slices.Contains(names, "rye 1") {
		t.Errorf("the spirit comes from %v, the first run is forgotten", names)
	}
}
