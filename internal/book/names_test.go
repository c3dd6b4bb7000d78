package book_test

import (
	"math"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/identity"
)

// A rye of three years in a new cask of 200 L, filled at 62 %: every fact that a
// rule asks for comes out of the books, or stays unknown.
func TestNameFactsComeFromTheBooks(t *testing.T) {
	h := newHouse(t)
	day := func(s string) cellar.Day { d, err := cellar.ParseDay(s); h.must(err); return d }
	h.must(h.RegisterNewBatch("", "keeper", cellar.Batch{Name: "Rye", MadeOn: day("2019-12-01"), VolumeL: 300, StrengthPct: 62, Grains: map[string]float64{"rye": 0.9, "barley": 0.1}}, nil))
	h.vessel("A", cellar.Cask, 200)
	h.vessel("J", cellar.Jar, 10)
	h.vessel("T", cellar.Tank, 300)
	h.clock.on("2023-06-01")
	h.does("2020-01-10", cellar.Request{Entry: "fill", Vessel: "A", From: "Rye", VolumeL: ptr(150.0), StrengthPct: ptr(62.0)})
	h.does("2020-01-10", cellar.Request{Entry: "fill", Vessel: "J", From: "Rye", VolumeL: ptr(9.0), StrengthPct: ptr(62.0)})
	h.does("2023-05-01", cellar.Request{Entry: "fill", Vessel: "T", From: "A", VolumeL: ptr(100.0)})
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		facts := v.NameFacts(cellar.VesselAccount("T"), book.NameAnswers{Charred: identity.Yes})
		if len(facts.Parts) != 1 || len(facts.Parts[0].Stays) != 1 {
			t.Fatalf("the parts are %+v", facts.Parts)
		}
		stay := facts.Parts[0].Stays[0]
		if stay.Vessel != identity.Cask || stay.New != identity.Yes || stay.Charred != identity.Yes || stay.SizeL != 200 || stay.Days != int(day("2023-05-01")-day("2020-01-10")) {
			t.Errorf("it lay in %+v", stay)
		}
		if facts.EntryPct == nil || math.Abs(*facts.EntryPct-62) > 0.01 || facts.Grains["rye"] < 0.89 || facts.Additives != nil || facts.BottlingPct != nil {
			t.Errorf("the facts are %+v", facts)
		}
		us, err := identity.Judge("US", facts)
		h.must(err)
		if us.Age.State != identity.Met || us.Age.Years != 3 {
			t.Errorf("the age is %+v, want 3 years", us.Age)
		}
		jar, err := identity.Judge("US", v.NameFacts(cellar.VesselAccount("J"), book.NameAnswers{Charred: identity.Yes}))
		h.must(err)
		if jar.Age.State == identity.Met && jar.Age.Years > 0 {
			t.Errorf("a jar with staves gives an age: %+v", jar.Age)
		}
		return nil
	}))
}

// What is half known must not be judged: a batch without grains makes the mash unknown.
func TestUnknownMashStaysUnknown(t *testing.T) {
	h := newHouse(t)
	h.batch("B", "2020-01-01", 100, 60)
	h.vessel("A", cellar.Cask, 50)
	h.clock.on("2021-01-01")
	h.does("2020-02-01", cellar.Request{Entry: "fill", Vessel: "A", From: "B", VolumeL: ptr(40.0)})
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		if facts := v.NameFacts(cellar.VesselAccount("A"), book.NameAnswers{}); facts.Grains != nil {
			t.Errorf("the mash is %v", facts.Grains)
		}
		return nil
	}))
	if len(book.Questions()) == 0 {
		t.Error("the rules ask nothing")
	}
}
