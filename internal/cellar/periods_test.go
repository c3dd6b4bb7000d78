package cellar

import "testing"

func TestPeriodsThatCannotBeClosed(t *testing.T) {
	s := filledCask(t)
	day := func(date string) Day { return mustDay(t, date) }
	s.on("2021-02-01").record(&Close{From: day("2020-01-01"), To: day("2020-12-31")})
	if got := s.fold().Closings; len(got) != 1 || got[0].To != day("2020-12-31") {
		t.Fatalf("closed are %+v", got)
	}
	s.refuses(&Close{From: day("2021-01-31"), To: day("2021-01-01")}, "to", "ends before")
	s.refuses(&Close{From: day("2021-01-01"), To: day("2021-02-01")}, "to", "day after")
	s.refuses(&Close{From: day("2020-12-31"), To: day("2021-01-31")}, "closed already by entry")
	s.refuses(&Close{From: day("2020-06-01"), To: day("2020-06-30"), Vessels: []string{"A"}}, "closed already")
	s.refuses(&Close{From: day("2021-01-01"), To: day("2021-01-31"), Vessels: []string{"X"}}, "X", "registered")
	s.record(&Close{From: day("2021-01-01"), To: day("2021-01-31"), Vessels: []string{"A"}})
	s.record(&Close{From: day("2021-01-01"), To: day("2021-01-31"), Vessels: []string{"B"}})
	s.refuses(&Close{From: day("2021-01-01"), To: day("2021-01-31"), Vessels: []string{"T", "B"}}, "closed already")
	s.fold()
}

// A close that is taken back is open again.
func TestReopening(t *testing.T) {
	s := filledCask(t)
	c := &Close{From: mustDay(t, "2020-01-01"), To: mustDay(t, "2020-01-31")}
	e := s.on("2020-02-01").record(c)
	s.refuses(c, "closed already")
	s.record(&Void{Entry: e.ID, Reason: "too early"})
	s.record(c)
	if got := s.fold().Closings; len(got) != 1 {
		t.Errorf("closed are %+v", got)
	}
}

func TestLimitsAndExplanations(t *testing.T) {
	s := filledCask(t)
	s.record(&Limit{Of: Cask, PctPerYear: 3})
	s.record(&Limit{Of: Cask, PctPerYear: 4})
	s.refuses(&Limit{Of: "bucket", PctPerYear: 4}, "bucket")
	s.refuses(&Limit{Of: Jar, PctPerYear: -1}, "-1")
	s.record(&Explain{Vessel: "A", From: mustDay(t, "2020-01-01"), To: mustDay(t, "2020-01-31"), Words: "a split stave"})
	s.refuses(&Explain{Vessel: "X", From: 1, To: 2}, "X")
	s.refuses(&Explain{Vessel: "A", From: 2, To: 1}, "ends before")
	state := s.fold()
	if state.Limits[Cask] != 4 || len(state.Explanations) != 1 || state.Explanations[0].Words != "a split stave" {
		t.Errorf("limits %v, explanations %+v", state.Limits, state.Explanations)
	}
}

func TestCovers(t *testing.T) {
	all, some := &Close{}, &Close{Vessels: []string{"A"}}
	for a, covered := range map[Account]bool{
		VesselAccount("A"): true, IndrinkAccount("A"): true, VesselAccount("B"): false, BatchAccount("A"): false, LotAccount("A"): false,
	} {
		if !all.Covers(a) || some.Covers(a) != covered {
			t.Errorf("%s: covered by all %v, by some %v", a, all.Covers(a), some.Covers(a))
		}
	}
}
