package storm

import (
	"encoding/json"
	"slices"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/gauge"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/sensory"
)

// teller tells a story in which every kind of entry happens, through the book
// as people do, so that a version's way of writing each can be kept.
type teller struct {
	t   *testing.T
	b   *book.Book
	now time.Time
	ids int
}

// tellEveryKind writes the story into an empty journal.
func tellEveryKind(t *testing.T, j journal.Journal) {
	w := &teller{t: t, now: start.AddDate(-3, 0, 0)}
	b, err := book.Open(j, book.Edge{Now: func() time.Time { return w.now }, NewID: func(time.Time) string { return w.id() }})
	must(t, err)
	w.b = b
	for _, chapter := range []func(){w.furnishes, w.measures, w.fillsAndPours, w.looks, w.plansAndBlends, w.tastes, w.reckons} {
		chapter()
		w.now = w.now.AddDate(0, 2, 0)
	}
	b.Wait()
}

func (w *teller) id() string { w.ids++; return idOf(71, w.ids) }

// does records a request an hour on.
func (w *teller) does(r cellar.Request) cellar.Entry {
	w.t.Helper()
	w.now = w.now.Add(time.Hour)
	if r.When.IsZero() {
		r.When = w.now
	}
	e, err := w.b.Record(book.Submission{ID: w.id(), Who: "keeper", Request: r, Sure: true})
	must(w.t, err)
	return e
}

// kept lets a function of the book that makes an entry of its own pass.
func (w *teller) kept(e cellar.Entry, err error) cellar.Entry {
	w.t.Helper()
	must(w.t, err)
	return e
}

// furnishes: place, climate, vessel, instrument, batch.
func (w *teller) furnishes() {
	must(w.t, w.b.RegisterPlace(w.id(), "keeper", cellar.Place{Name: "Low Barn", TempC: number(11), HumidityPct: number(80)}))
	must(w.t, w.b.RegisterPlace(w.id(), "keeper", cellar.Place{Name: "Apple Loft"}))
	must(w.t, w.b.LogClimate(w.id(), "keeper", cellar.ClimateFact{Place: "Apple Loft", Readings: []cellar.ClimateReading{
		{At: w.now.AddDate(0, 0, -2), TempC: number(13.5), HumidityPct: number(62)}, {At: w.now.AddDate(0, 0, -1), HumidityPct: number(64)},
	}}))
	shape, jar := gauge.Shape{Profile: gauge.Spheroid, Bung: 45, Head: 38, Length: 52}, gauge.Jar{Body: 24, BodyHeight: 28, ShoulderHeight: 4, Neck: 10, NeckHeight: 4}
	staves := gauge.Staves{Count: 4, Length: 20, Width: 3, Thickness: 0.8}
	for _, v := range []cellar.Vessel{
		{Code: "CASK 1", Kind: cellar.Cask, CapacityL: 50, Wood: "oak", WoodState: cellar.NewWood, Place: "Low Barn", Spot: cellar.Spot{Row: "A", Tier: "1"}, TareKg: 14, MakerCode: "№ 7", Inside: &cellar.Inside{Shape: &shape, Position: gauge.Lying}, Note: "A gift."},
		{Code: "CASK 2", Kind: cellar.Cask, CapacityL: 60, Wood: "chestnut", WoodState: cellar.UsedWood, WoodAreaM2: 0.9, Place: "Low Barn"},
		{Code: "JAR 1", Kind: cellar.Jar, CapacityL: 10, Wood: "oak", Place: "Apple Loft", Inside: &cellar.Inside{Jar: &jar, Staves: &staves}},
		{Code: "HEAD 1", Kind: cellar.Hybrid, CapacityL: 100, Wood: "oak"},
		{Code: "VAT", Kind: cellar.Tank, CapacityL: 200, TareKg: 60},
	} {
		_, err := w.b.RegisterNewVessel(w.id(), "keeper", v)
		must(w.t, err)
	}
	for _, i := range []cellar.Instrument{
		{Name: "H 1", Kind: cellar.HydrometerKind, Scale: "vol", BaseC: 20, From: cellar.DayOf(w.now) - 9, Add: -0.1, SD: 0.05, Note: "Certificate 12."},
		{Name: "T 1", Kind: cellar.ThermometerKind, From: cellar.DayOf(w.now) - 9, Add: 0.2, SD: 0.1},
		{Name: "W 1", Kind: cellar.BalanceKind, From: cellar.DayOf(w.now) - 9, Add: 0.05, SD: 0.02},
	} {
		must(w.t, w.b.RegisterInstrument(w.id(), "keeper", i))
	}
	must(w.t, w.b.RegisterNewBatch(w.id(), "keeper", cellar.Batch{
		Name: "R-1", MadeOn: cellar.DayOf(w.now) - 20, VolumeL: 300, StrengthPct: 66, Grains: map[string]float64{"rye": 0.75, "oat": 0.25}, Yeast: "house", Note: "Slow.",
	}, nil))
}

// measures: rhythm, limit, cost, value, tasting_words.
func (w *teller) measures() {
	must(w.t, w.b.SetRhythm("keeper", map[cellar.VesselKind]int{cellar.Cask: 60, cellar.Jar: 30}))
	must(w.t, w.b.SetLimit(w.id(), "keeper", cellar.Limit{Of: cellar.Cask, PctPerYear: 4}))
	must(w.t, w.b.SetTastingWords(w.id(), "keeper", []string{"fruit", "wood", "smoke"}))
	must(w.t, w.b.SetValue(w.id(), "keeper", cellar.Value{Of: cellar.Cask, PerL: 30}))
}

// fillsAndPours: fill, top_up, transfer, draw, spill, reduce, move, cost, value, relabel, and a batch of left-overs.
func (w *teller) fillsAndPours() {
	w.does(cellar.Request{Entry: "fill", Vessel: "CASK 1", From: "R-1", VolumeL: number(40), ReadingPct: number(63), TempC: number(14), Instrument: "H 1", Thermometer: "T 1"})
	w.does(cellar.Request{Entry: "fill", Vessel: "CASK 2", From: "R-1", VolumeL: number(50), StrengthPct: number(63), TempC: number(18), Note: "From the spout."})
	w.does(cellar.Request{Entry: "fill", Vessel: "JAR 1", From: "R-1", VolumeL: number(8.5), StrengthPct: number(60)})
	w.does(cellar.Request{Entry: "fill", Vessel: "HEAD 1", From: "R-1", VolumeL: number(60), StrengthPct: number(62)})
	w.does(cellar.Request{Entry: "fill", Vessel: "VAT", From: "batch:R-1", GrossKg: number(110), Balance: "W 1", StrengthPct: number(62)})
	w.does(cellar.Request{Entry: "top_up", Vessel: "CASK 2", From: "VAT", VolumeL: number(2), StrengthPct: number(62)})
	w.does(cellar.Request{Entry: "transfer", Vessel: "CASK 1", From: "VAT", VolumeL: number(3), StrengthPct: number(62)})
	w.does(cellar.Request{Entry: "draw", Vessel: "VAT", VolumeL: number(1), StrengthPct: number(62), Note: "For the labels."})
	w.does(cellar.Request{Entry: "spill", Vessel: "VAT", VolumeL: number(0.2)})
	w.does(cellar.Request{Entry: "reduce", Vessel: "VAT", WaterKg: number(4)})
	w.does(cellar.Request{Entry: "move", Vessel: "JAR 1", Place: "Low Barn", Row: "C", Tier: "top"})
	w.does(cellar.Request{Entry: "relabel", Vessel: "JAR 1", Note: "Wet through."})
	must(w.t, w.b.SetCosts("keeper", map[string]float64{"CASK 1": 18.5}))
	must(w.t, w.b.SetValue(w.id(), "keeper", cellar.Value{Vessel: "JAR 1", PerL: 55}))
	w.now = w.now.AddDate(0, 1, 0)
	must(w.t, w.b.RegisterNewBatch(w.id(), "keeper", cellar.Batch{Name: "A-1", MadeOn: cellar.DayOf(w.now) - 1, VolumeL: 80, StrengthPct: 65, Grains: map[string]float64{"apple": 1}},
		[]cellar.RequestDraw{{From: "VAT", VolumeL: number(5), StrengthPct: number(58)}}))
}

// looks: sample by every way of gauging, round, round_skip, aim for each end, note, void.
func (w *teller) looks() {
	w.does(cellar.Request{Entry: "sample", Vessel: "CASK 1", ReadingPct: number(61.4), TempC: number(12.5), Instrument: "H 1", UllageCm: number(8), DrawnL: number(0.1), Senses: &cellar.Senses{
		Colour: "pale gold", Nose: "apple", Palate: "dry", Scores: map[string]int{"fruit": 6, "wood": 2}, Taster: "Ash",
	}})
	w.does(cellar.Request{Entry: "sample", Vessel: "CASK 2", ReadingPct: number(124), Scale: "proof", GlassC: number(15.56), TempC: number(13), VolumeL: number(50), Residue: number(0.05)})
	w.does(cellar.Request{Entry: "sample", Vessel: "JAR 1", StrengthPct: number(59.5), LevelCm: number(19)})
	w.does(cellar.Request{Entry: "sample", Vessel: "JAR 1", StrengthPct: number(59.5), JugL: number(2), JugTimes: number(4), JugLastL: number(0.3)})
	w.does(cellar.Request{Entry: "sample", Vessel: "HEAD 1", StrengthPct: number(61), MeterL: number(58)})
	w.does(cellar.Request{Entry: "sample", Vessel: "VAT", StrengthPct: number(58), GrossKg: number(100), TempC: number(15), Balance: "W 1"})
	round := w.kept(w.b.BeginRound(w.id(), "keeper", "Friday", []string{"CASK 1", "CASK 2"}))
	w.does(cellar.Request{Entry: "sample", Vessel: "CASK 1", StrengthPct: number(61.3)})
	w.does(cellar.Request{Entry: "round_skip", Round: round.ID, Vessel: "CASK 2", Note: "Behind the press."})
	w.does(cellar.Request{Entry: "aim", Vessel: "CASK 2", On: cellar.DayOf(w.now) + 90, For: cellar.AimLook, Note: "Look again."})
	w.does(cellar.Request{Entry: "aim", Vessel: "JAR 1", On: cellar.DayOf(w.now) + 200, For: cellar.AimBottle})
	must(w.t, w.b.SetReady(w.id(), "keeper", "CASK 1", &cellar.Ready{FloorPct: 50, AgeDays: 1095, Contact: 100, MostWood: 400, Scores: []cellar.ReadyBand{{Of: "fruit", Min: 4, Max: 8}}, LatestDays: 3000}, "For the feast."))
	wrong := w.does(cellar.Request{Entry: "note", Vessel: "CASK 1", Note: "The bung weeps."})
	w.does(cellar.Request{Entry: "void", Void: wrong.ID, Note: "It was the neighbour's."})
	w.does(cellar.Request{Entry: "note", Vessel: "CASK 2", Note: "The bung weeps."})
}

// plansAndBlends: plan, blend of it, bottle, empty, rinse.
func (w *teller) plansAndBlends() {
	file := json.RawMessage(`{"kind":"blend","target":{"volume_l":20,"strength_pct":46},"sources":[{"id":"CASK 1"},{"id":"JAR 1"}],"water":true,"objective":"oldest_first"}`)
	plan := w.kept(w.b.KeepPlan(w.id(), "keeper", &cellar.Plan{
		Name: "House, first", Wanted: cellar.DayOf(w.now) + 30, File: file, WaterKg: 5, VolumeL: 20, StrengthPct: 46,
		Draws: []cellar.PlanDraw{{Vessel: "CASK 1", VolumeL: 10, StrengthPct: 61.3}, {Vessel: "JAR 1", VolumeL: 5, StrengthPct: 59.5}},
	}))
	w.does(cellar.Request{Entry: "empty", Vessel: "VAT", VolumeL: number(40), StrengthPct: number(57)})
	w.does(cellar.Request{Entry: "blend", Vessel: "VAT", Plan: plan.ID, WaterKg: number(5), Note: "As planned.", Draws: []cellar.RequestDraw{
		{From: "CASK 1", VolumeL: number(10), StrengthPct: number(61.3)}, {From: "JAR 1", All: true, VolumeL: number(7.9), StrengthPct: number(59.5)},
	}})
	w.does(cellar.Request{Entry: "bottle", Vessel: "VAT", Lot: "L-1", Bottles: []cellar.Bottles{{SizeL: 0.5, Count: 20}, {SizeL: 0.05, Count: 10}}, StrengthPct: number(46.2), LabelPct: number(46)})
	w.does(cellar.Request{Entry: "empty", Vessel: "HEAD 1"})
	w.does(cellar.Request{Entry: "rinse", Vessel: "HEAD 1", VolumeL: number(0.8), StrengthPct: number(8), Note: "Warm water, two days."})
}

// tastes: trial, warm_trial, tasting_plan, tasting_answers.
func (w *teller) tastes() {
	w.kept(w.b.SetUpTrial(w.id(), "keeper", cellar.Trial{Name: "Two woods", Vessels: []string{"CASK 1", "CASK 2"}, Question: "Does chestnut give more?"}))
	must(w.t, w.b.RecordWarmTrial(w.id(), "keeper", "R-1", cellar.WarmTrial{
		Name: "Warm oak", VolumeL: 0.5, StrengthPct: 60, Hours: 48, TempC: 45, Wood: "oak", WoodAreaM2: 0.01, Colour: "amber", Scores: map[string]int{"wood": 7}, Note: "Too much.",
	}))
	e := w.kept(w.b.PlanTasting(w.id(), "keeper", book.TastingWish{
		Name: "Which is which", Question: "Can anybody tell?", Test: sensory.Triangle, Samples: []string{"CASK 1", "CASK 2"}, Tasters: []string{"Ash", "Rowan", "Hazel"}, Alpha: 0.05, Beta: 0.2, Able: 0.5,
	}))
	plan := e.Fact.(*cellar.TastingPlan)
	must(w.t, w.b.AnswerTasting(w.id(), "keeper", e.ID, []cellar.TastingAnswer{{Taster: "Rowan", Codes: []int{plan.Sittings[1].Cups[2].Code}}}))
}

// reckons: explain and close.
func (w *teller) reckons() {
	period := book.Period{From: cellar.DayOf(start) - 1096, To: cellar.DayOf(w.now) - 1}
	must(w.t, w.b.ExplainLoss(w.id(), "keeper", cellar.Explain{Vessel: "CASK 2", From: period.From, To: period.To, Words: "The bung wept."}))
	w.kept(w.b.ClosePeriod(w.id(), "keeper", period, []string{"CASK 1", "CASK 2"}, "First close."))
	w.kept(w.b.ClosePeriod(w.id(), "keeper", book.Period{From: period.To - 20, To: period.To}, []string{"VAT", "JAR 1"}, ""))
}

// TestTheStoryHasEveryKind: a kind that is added is told of here, and kept in a
// stored journal by -write-story.
func TestTheStoryHasEveryKind(t *testing.T) {
	j := journal.NewMemory()
	tellEveryKind(t, j)
	sound(t, j)
	told := kindsOf(t, j)
	for _, kind := range cellar.Kinds() {
		if !slices.Contains(told, kind) {
			t.Errorf("nothing of the kind %s happens in the story", kind)
		}
	}
}
