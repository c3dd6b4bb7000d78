package cellar

import (
	"slices"
	"testing"
)

func TestTrialsAndValues(t *testing.T) {
	s := filledCask(t)
	s.record(&Trial{Name: "cask and tank", Vessels: []string{"A", "T"}, Question: "what does wood do?"})
	s.refuses(&Trial{Name: "alone", Vessels: []string{"A"}}, "vessels", "2 to")
	s.refuses(&Trial{Name: "double", Vessels: []string{"A", "A"}}, "twice")
	s.refuses(&Trial{Name: "none", Vessels: []string{"A", "X"}}, "X", "registered")
	s.refuses(&Trial{Vessels: []string{"A", "T"}}, "name")

	s.record(&Value{Of: Cask, PerL: 30})
	s.record(&Value{Vessel: "A", PerL: 45})
	s.refuses(&Value{Of: Cask, PerL: -1}, "-1")
	s.refuses(&Value{Of: "bucket", PerL: 1}, "bucket")
	s.refuses(&Value{Vessel: "A", Of: Cask, PerL: 1}, "name a vessel, or one of")
	s.refuses(&Value{Vessel: "X", PerL: 1}, "X")

	desk := s.fold().Desk
	if len(desk.Trials) != 1 || desk.Trials[0].Name != "cask and tank" || len(desk.Values) != 2 {
		t.Fatalf("the desk has %+v", desk)
	}
	if _, found := desk.FindTrial(desk.Trials[0].Entry.ID); !found {
		t.Error("the trial is not found by its ID")
	}
	if _, found := desk.FindTrial("none"); found {
		t.Error("a trial that is not there is found")
	}
}

// Warm hours are no days in wood and take nothing out of the books.
func TestWarmTrialsMoveNothing(t *testing.T) {
	s := filledCask(t)
	before := s.fold()
	good := WarmTrial{Name: "W1", From: "vessel:A", VolumeL: 0.5, Hours: 72, TempC: 45, Wood: "oak", Scores: map[string]int{"wood": 8}}
	s.record(&good)
	after := s.fold()
	if len(after.Desk.Warm) != 1 {
		t.Fatalf("warm trials are %+v", after.Desk.Warm)
	}
	a, day := VesselAccount("A"), s.fold().Desk.Warm[0].Entry.Day()
	if before.Balance(a) != after.Balance(a) || before.AgesOn(a, day) != after.AgesOn(a, day) {
		t.Error("a warm trial changed what the vessel holds or how old it is")
	}
	for field, spoil := range map[string]func(*WarmTrial){
		"volume_l":     func(w *WarmTrial) { w.VolumeL = 0 },
		"strength_pct": func(w *WarmTrial) { w.StrengthPct = 101 },
		"hours":        func(w *WarmTrial) { w.Hours = 0 },
		"temp_c":       func(w *WarmTrial) { w.TempC = 95 },
		"wood_area_m2": func(w *WarmTrial) { w.WoodAreaM2 = -1 },
		"scores":       func(w *WarmTrial) { w.Scores = map[string]int{"wood": 11} },
		"registered":   func(w *WarmTrial) { w.From = "batch:none" },
		"none":         func(w *WarmTrial) { w.From = "lot:none" },
	} {
		bad := good
		spoil(&bad)
		s.refuses(&bad, field)
	}
}

func TestTastingsThatCannotBe(t *testing.T) {
	s := filledCask(t)
	cups := []TastingCup{{Code: 101, Sample: 0}, {Code: 202, Sample: 1}, {Code: 303, Sample: 1}}
	good := TastingPlan{
		Name: "T", Test: "triangle", Samples: []Account{"vessel:A", "vessel:B"}, Alpha: 0.05,
		Sittings: []TastingSitting{{Taster: "cooper", Cups: cups}, {Taster: "miller", Cups: cups}},
	}
	e := s.record(&good)
	for words, spoil := range map[string]func(*TastingPlan){
		"name":        func(p *TastingPlan) { p.Name = "" },
		"samples":     func(p *TastingPlan) { p.Samples = p.Samples[:1] },
		"there twice": func(p *TastingPlan) { p.Samples = []Account{"vessel:A", "vessel:A"} },
		"alpha":       func(p *TastingPlan) { p.Alpha = 1 },
		"tasters":     func(p *TastingPlan) { p.Sittings = nil },
		"named twice": func(p *TastingPlan) { p.Sittings = []TastingSitting{{Taster: "a"}, {Taster: "a"}} },
		"no sample": func(p *TastingPlan) {
			p.Sittings = []TastingSitting{{Taster: "a", Cups: []TastingCup{{Code: 1, Sample: 7}}}}
		},
		"registered": func(p *TastingPlan) { p.Samples = []Account{"vessel:A", "vessel:X"} },
	} {
		bad := good
		spoil(&bad)
		s.refuses(&bad, words)
	}
	for words, answers := range map[string][]TastingAnswer{
		"1 to":         nil,
		"not among":    {{Taster: "stranger", Codes: []int{101}}},
		"no cup is":    {{Taster: "cooper"}},
		"is no cup":    {{Taster: "cooper", Codes: []int{999}}},
		"names it twi": {{Taster: "cooper", Codes: []int{101, 101}}},
	} {
		err := CheckTastingAnswers(&TastingAnswers{Plan: e.ID, Answers: answers}, &good)
		wantProblem(t, err, words)
	}
	if err := CheckTastingAnswers(&TastingAnswers{Plan: e.ID, Answers: []TastingAnswer{{"cooper", []int{202}}}}, &good); err != nil {
		t.Error(err)
	}
	s.record(&TastingAnswers{Plan: e.ID, Answers: []TastingAnswer{{"cooper", []int{202}}}})
	s.record(&TastingWords{Words: []string{"fruit", "smoke"}})
	s.refuses(&TastingWords{Words: []string{"fruit", "fruit"}}, "twice")
	desk := s.fold().Desk
	if _, found := desk.FindTasting(e.ID); !found || len(desk.Answers) != 1 || len(desk.Words) != 2 {
		t.Errorf("the desk has %+v", desk)
	}
}

// An aim for ready holds for the filling in which it was set.
func TestReadyHoldsForAFilling(t *testing.T) {
	s := filledCask(t)
	s.record(&Aim{Vessel: "A", For: AimReady, Ready: &Ready{FloorPct: 50}})
	s.record(&Aim{Vessel: "A", For: AimReady, Ready: &Ready{FloorPct: 52, AgeDays: 1000}})
	if aim, set := s.fold().ReadyOf("A"); !set || aim.Ready.FloorPct != 52 {
		t.Errorf("the aim is %+v", aim)
	}
	s.refuses(&Aim{Vessel: "A", For: AimReady, On: mustDay(t, "2022-01-01"), Ready: &Ready{}}, "on", "no day")
	s.refuses(&Aim{Vessel: "A", For: AimBottle, On: mustDay(t, "2022-01-01"), Ready: &Ready{}}, "for", "only an aim")
	s.refuses(&Aim{Vessel: "A", For: AimReady, Ready: &Ready{FloorPct: 101}}, "floor_pct")
	s.refuses(&Aim{Vessel: "A", For: AimReady, Ready: &Ready{AgeDays: 700, LatestDays: 600}}, "latest_age_days")
	s.refuses(&Aim{Vessel: "A", For: AimReady, Ready: &Ready{Scores: []ReadyBand{{"fruit", 5, 3}}}}, "scores")
	s.record(&Empty{Vessel: "A"})
	if _, set := s.fold().ReadyOf("A"); set {
		t.Error("the aim outlived its filling")
	}
}

// Where in a place a vessel stands comes with its registration and with moves.
func TestSpots(t *testing.T) {
	s := filledCask(t)
	s.record(&PlaceFact{Place{Name: "barn"}})
	s.record(&Move{Vessel: "A", Place: "barn", Spot: Spot{Row: "3", Tier: "upper"}})
	if v := s.fold().Vessels["A"]; v.PlacedAt != "barn" || v.PlacedIn != (Spot{"3", "upper"}) {
		t.Errorf("it stands in %s, %+v", v.PlacedAt, v.PlacedIn)
	}
	s.refuses(&Move{Vessel: "A", Place: "barn", Spot: Spot{Row: "a\nb"}}, "row")
}

// plain leaves the numbers of the entries out, which differ where the same was
// written in another order.
func (d Desk) plain() Desk {
	d.Trials, d.Warm, d.Plans = slices.Clone(d.Trials), slices.Clone(d.Warm), slices.Clone(d.Plans)
	d.Answers, d.Values = slices.Clone(d.Answers), slices.Clone(d.Values)
	for i := range d.Trials {
		d.Trials[i].Entry = unnumbered(d.Trials[i].Entry)
	}
	for i := range d.Warm {
		d.Warm[i].Entry = unnumbered(d.Warm[i].Entry)
	}
	for i := range d.Plans {
		d.Plans[i].Entry = unnumbered(d.Plans[i].Entry)
	}
	for i := range d.Answers {
		d.Answers[i].Entry = unnumbered(d.Answers[i].Entry)
	}
	for i := range d.Values {
		d.Values[i].Entry = unnumbered(d.Values[i].Entry)
	}
	return d
}
