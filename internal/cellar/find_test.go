package cellar

import (
	"testing"
	"time"
)

// A vessel is found by its code in any case and with or without the dash, and
// by its maker's code, which may happen to have the book's own form.
func TestVesselsAreFoundByAnySpelling(t *testing.T) {
	own, makers := IssueCode(1), IssueCode(2)
	s := newStory(t)
	s.record(&VesselFact{Vessel{Code: own, Kind: Cask, CapacityL: 20, MakerCode: "Hx-17"}})
	s.record(&VesselFact{Vessel{Code: "Loft 3", Kind: Cask, CapacityL: 20, MakerCode: undashed(makers)}})
	s.record(&VesselFact{Vessel{Code: "fût-ß", Kind: Cask, CapacityL: 20}})
	state := s.fold()
	for written, code := range map[string]string{
		own: own, undashed(own): own, lower(own): own, "  " + lower(undashed(own)) + "\t": own,
		"hx-17": own, "HX-17": own, " Hx-17 ": own,
		"Loft 3": "Loft 3", "LOFT 3": "Loft 3", "loft 3 ": "Loft 3",
		makers: "Loft 3", undashed(makers): "Loft 3", lower(makers): "Loft 3",
		"fût-ß": "fût-ß", "FÛT-ß": "fût-ß",
	} {
		if v, ok := state.FindVessel(written); !ok || v.Code != code {
			t.Errorf("%q finds %v, want %s", written, v, code)
		}
	}
	for _, written := range []string{"", " ", "Hx17", "Loft3", IssueCode(3), "vessel:" + own} {
		if v, ok := state.FindVessel(written); ok {
			t.Errorf("%q finds %s", written, v.Code)
		}
	}
}

func undashed(code string) string { return code[:3] + code[4:] }

func lower(code string) string {
	out := []byte(code)
	for i, c := range out {
		if c >= 'A' && c <= 'Z' {
			out[i] = c + 'a' - 'A'
		}
	}
	return string(out)
}

// No two vessels go by one name, in whatever spelling and whichever field.
func TestCodesAreTakenOnce(t *testing.T) {
	own := IssueCode(1)
	s := newStory(t)
	s.record(&VesselFact{Vessel{Code: own, Kind: Cask, CapacityL: 20, MakerCode: "Hx-17"}})
	for _, v := range []Vessel{
		{Code: "hx-17"}, {Code: lower(own)}, {Code: "B", MakerCode: undashed(own)}, {Code: "B", MakerCode: "HX-17"},
	} {
		v.Kind, v.CapacityL = Cask, 20
		s.refuses(&VesselFact{v}, own, "already")
	}
	s.record(&VesselFact{Vessel{Code: "B", Kind: Cask, CapacityL: 20, MakerCode: "B"}}) // one name for both is fine
	s.fold()
}

// A maker's code that was registered for the wrong vessel is free once that is
// corrected, and a vessel's own code stays when its maker's is corrected.
func TestMakersCodeIsCorrected(t *testing.T) {
	s := newStory(t)
	s.record(&VesselFact{Vessel{Code: "A", Kind: Cask, CapacityL: 20, MakerCode: "m-1"}})
	s.record(&VesselFact{Vessel{Code: "B", Kind: Cask, CapacityL: 20, MakerCode: "b"}})
	s.record(&VesselFact{Vessel{Code: "A", Kind: Cask, CapacityL: 20, MakerCode: "m-2"}})
	s.record(&VesselFact{Vessel{Code: "B", Kind: Cask, CapacityL: 20, MakerCode: "m-1"}})
	state := s.fold()
	for written, code := range map[string]string{"m-1": "B", "m-2": "A", "a": "A", "b": "B"} {
		if v, ok := state.FindVessel(written); !ok || v.Code != code {
			t.Errorf("%q finds %v, want %s", written, v, code)
		}
	}
}

// Registrations hold whenever they were written: a vessel, place or batch that
// is written down late can be extended to, where nothing rests on it yet.
func TestLateRegistrationsFollow(t *testing.T) {
	s := filledCask(t)
	live := s.fold()
	long := s.clock.AddDate(-1, 0, 0)
	vessel := Entry{Seq: 90, ID: "E90", HappenedAt: long, Fact: &VesselFact{Vessel{Code: "N", Kind: Jar, CapacityL: 5}}}
	place := Entry{Seq: 91, ID: "E91", HappenedAt: long, Fact: &PlaceFact{Place{Name: "barn"}}}
	for _, e := range []Entry{vessel, place} {
		if !live.Follows(e) {
			t.Errorf("a late %s does not follow", e.Fact.Kind())
		}
		if err := live.Extend(e); err != nil {
			t.Error(err)
		}
		s.entries = append(s.entries, e)
	}
	folded := s.fold()
	for name, state := range map[string]*State{"live": live, "folded": folded} {
		if _, ok := state.FindVessel("n"); !ok || state.Places["barn"].Name == "" || !state.LastAt().Equal(s.clock) {
			t.Errorf("%s: vessels %v, places %v, last %s", name, state.VesselCodes(), state.Places, state.LastAt())
		}
	}
	for why, e := range map[string]Entry{
		"it corrects a vessel":        {Seq: 92, HappenedAt: s.clock.Add(time.Hour), Fact: &VesselFact{Vessel{Code: "A", Kind: Jar, CapacityL: 5}}},
		"it corrects a batch":         {Seq: 92, HappenedAt: s.clock.Add(time.Hour), Fact: &BatchFact{Batch: Batch{Name: "rye 1"}}},
		"it takes something back":     {Seq: 92, HappenedAt: s.clock.Add(time.Hour), Fact: &Void{Entry: "E000001"}},
		"it happened before the last": {Seq: 92, HappenedAt: s.clock.Add(-time.Second), Fact: &Note{About: VesselAccount("A"), Note: "x"}},
		"its number is lower":         {Seq: 1, HappenedAt: s.clock, Fact: &Note{About: VesselAccount("A"), Note: "x"}},
	} {
		if live.Follows(e) {
			t.Errorf("an entry follows though %s", why)
		}
	}
	if e := (Entry{Seq: 92, HappenedAt: s.clock, Fact: &Note{About: VesselAccount("A"), Note: "x"}}); !live.Follows(e) {
		t.Error("the next entry of the same instant does not follow")
	}
}

// A vessel that is corrected keeps its history and what is in it.
func TestCorrectedVesselKeepsItsHistory(t *testing.T) {
	s := filledCask(t)
	s.on("2021-01-01").record(&VesselFact{Vessel{Code: "A", Kind: Cask, CapacityL: 220, Wood: "chestnut", Place: "shed"}})
	state := s.fold()
	v := state.Vessels["A"]
	if v.CapacityL != 220 || len(v.Events) != 1 || state.IsEmpty("A") {
		t.Errorf("the corrected vessel is %+v", v)
	}
	parts := state.ContentsOn(VesselAccount("A"), mustDay(t, "2020-01-11")).Parts
	if len(parts) != 1 || len(parts[0].Wood) != 1 || parts[0].Wood[0] != (WoodTime{"chestnut", 10}) {
		t.Errorf("it was chestnut all the time, the parts say %+v", parts)
	}
	s.record(&VesselFact{Vessel{Code: "A", Kind: Cask, CapacityL: 100}})
	_, err := Fold(s.entries, time.Time{})
	wantProblem(t, err, "fill of A", "100 L") // it held 200
}

// What the caller does with what it asked for does not reach into the state.
func TestContentsAreTheCallersOwn(t *testing.T) {
	s := filledCask(t)
	state := s.fold()
	for _, a := range []Account{VesselAccount("A"), BatchAccount("rye 1")} {
		state.ContentsOn(a, 0).Parts[0].EthanolMg = 1
	}
	if err := state.Check(); err != nil {
		t.Error(err)
	}
}
