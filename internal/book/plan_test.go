package book_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// stillhouse is a book with two casks of rye and apple, a jar, and a vat.
func stillhouse(t *testing.T) *house {
	h := newHouse(t)
	h.vessel("RYE", cellar.Cask, 50)
	h.vessel("APPLE", cellar.Cask, 50)
	h.vessel("JAR", cellar.Jar, 5)
	h.vessel("VAT", cellar.Tank, 100)
	h.vessel("SPARE", cellar.Tank, 100)
	h.batch("R1", "2020-01-01", 80, 63)
	h.batch("A1", "2020-01-01", 80, 63)
	h.clock.on("2023-01-10")
	h.does("2020-01-02", cellar.Request{Entry: "fill", Vessel: "RYE", From: "R1", VolumeL: ptr(40.0), StrengthPct: ptr(63.0)})
	h.does("2020-01-02", cellar.Request{Entry: "fill", Vessel: "APPLE", From: "A1", VolumeL: ptr(40.0), StrengthPct: ptr(63.0)})
	h.does("2020-01-03", cellar.Request{Entry: "fill", Vessel: "JAR", From: "R1", VolumeL: ptr(4.0), StrengthPct: ptr(63.0)})
	return h
}

// wish is what of the named vessels makes so many litres at 46 %.
func (h *house) wish(litres float64, codes ...string) blend.Plan {
	h.t.Helper()
	wish := blend.Plan{Kind: blend.KindBlend, Target: &blend.Target{VolumeL: litres, StrengthPct: 46}, Water: true}
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		for _, code := range codes {
			wish.Sources = append(wish.Sources, v.Source(code))
		}
		return nil
	}))
	return wish
}

// kept works a wish out and keeps its plan.
func (h *house) kept(wish blend.Plan, name string) cellar.Entry {
	h.t.Helper()
	return h.keptFor(wish, name, 0)
}

// keptFor does so for a plan that is wanted on a day.
func (h *house) keptFor(wish blend.Plan, name string, wanted cellar.Day) cellar.Entry {
	h.t.Helper()
	found, err := book.WorkOut(wish)
	h.must(err)
	f := book.Kept(wish, found.Result.Draws, found.Result.WaterKg, *found.Result.Made)
	f.Name, f.Wanted = name, wanted
	f.File, err = book.PlanFile(wish)
	h.must(err)
	e, err := h.KeepPlan("", "keeper", f)
	h.must(err)
	return e
}

// The planner's answer is kept; what is posted is what was measured.
func TestAMakingPostsWhatWasMeasured(t *testing.T) {
	h := stillhouse(t)
	plan := h.kept(h.wish(20, "RYE", "APPLE"), "spring")
	making := book.Making{
		ID: "01J0000000000000000000MADE", GaugeID: "01J000000000000000000GA0GE", RestID: "01J0000000000000000000REST", Who: "keeper", When: h.clock.now, Plan: plan.ID, Into: "VAT",
		Draws: []cellar.RequestDraw{
			{From: "RYE", WeighsKg: ptr(9.0), StrengthPct: ptr(62.0)},
			{From: "APPLE", VolumeL: ptr(3.25), TempC: ptr(12.0), StrengthPct: ptr(61.5)},
		},
		WaterWeighsKg: []float64{2, 1.5}, StrengthPct: ptr(47.2), RestUntil: cellar.DayOf(h.clock.now) + 30,
	}
	made, err := h.Make(making)
	h.must(err)
	again, err := h.Make(making)
	h.must(err)
	if again.Seq != made.Seq {
		t.Errorf("sent twice it is entries %d and %d", made.Seq, again.Seq)
	}
	f := made.Fact.(*cellar.Blend)
	if float64(f.Draws[0].Measure.NetKg) != 9 || float64(f.Draws[1].Measure.VolumeL) != 3.25 || f.Plan != plan.ID {
		t.Errorf("the blend is %+v", f)
	}
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		held := v.State.Balance(cellar.VesselAccount("VAT"))
		sum := f.Draws[0].Measure.Amount.Add(f.Draws[1].Measure.Amount).Add(f.Water)
		if held != sum {
			t.Errorf("the vat holds %v, and %v was measured into it", held, sum)
		}
		if water := float64(f.Water.Mass()); math.Abs(water-3.5*(1-1.2/8000)/(1-1.2/998.2)) > 1e-5 {
			t.Errorf("the water weighs %g kg", water)
		}
		line, err := v.FindPlan(plan.ID)
		h.must(err)
		if line.Waiting() || line.Into != "VAT" || len(v.PlansWaiting()) != 0 {
			t.Errorf("the plan is %+v", line)
		}
		if len(v.Aims()) != 1 || v.State.Vessels["VAT"].Events[1].Reading.StrengthPct != 47.2 {
			t.Error("the gauge or the aim is missing")
		}
		return nil
	}))
}

// A vessel that was left alone is left out; nothing measured is no making.
func TestMakingsThatAreRefused(t *testing.T) {
	h := stillhouse(t)
	plan := h.kept(h.wish(20, "RYE", "APPLE"), "spring")
	for what, c := range map[string]struct {
		draws []cellar.RequestDraw
		water []float64
		says  string
	}{
		"a blank":          {[]cellar.RequestDraw{{From: "RYE"}}, nil, "what was really drawn"},
		"nothing at all":   {[]cellar.RequestDraw{{From: "RYE", VolumeL: ptr(0.0)}}, nil, "nothing was drawn"},
		"water from water": {[]cellar.RequestDraw{{From: "RYE", VolumeL: ptr(1.0)}}, []float64{-1}, "below 0"},
		"too much":         {[]cellar.RequestDraw{{From: "RYE", VolumeL: ptr(49.0)}}, nil, "RYE"},
	} {
		_, err := h.Make(book.Making{Who: "keeper", When: h.clock.now, Plan: plan.ID, Into: "VAT", Draws: c.draws, WaterWeighsKg: c.water})
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", what, err)
		}
	}
	_, err := h.Make(book.Making{
		Who: "keeper", When: h.clock.now, Plan: plan.ID, Into: "VAT",
		Draws: []cellar.RequestDraw{{From: "RYE", VolumeL: ptr(5.0)}, {From: "APPLE", VolumeL: ptr(0.0)}},
	})
	h.must(err)
	_, err = h.Make(book.Making{
		Who: "keeper", When: h.clock.now, Plan: "none", Into: "SPARE", Draws: []cellar.RequestDraw{{From: "RYE", VolumeL: ptr(5.0)}},
	})
	if cellar.KindOf(err) != cellar.NotFound {
		t.Errorf("a plan that is not kept: %v", err)
	}
}

// A fault in the gauge leaves the blend recorded, and says so.
func TestAGaugeThatIsRefused(t *testing.T) {
	h := stillhouse(t)
	plan := h.kept(h.wish(20, "RYE", "APPLE"), "spring")
	_, err := h.Make(book.Making{
		Who: "keeper", When: h.clock.now, Plan: plan.ID, Into: "VAT",
		Draws: []cellar.RequestDraw{{From: "RYE", VolumeL: ptr(5.0)}}, StrengthPct: ptr(99.0),
	})
	var doubts *book.Doubts
	if err == nil || !strings.Contains(err.Error(), "the blend is recorded") || !errors.As(err, &doubts) {
		t.Errorf("an unlikely gauge: %v", err)
	}
}

// The kept file stands for itself, and says what the store said.
func TestAPlanFileStandsForItself(t *testing.T) {
	h := stillhouse(t)
	h.must(h.SetCosts("keeper", map[string]float64{"rye": 14, "APPLE": 20}))
	wish := h.wish(20, "RYE", "APPLE", "JAR")
	wish.Objective = blend.FastestLosingFirst
	wish.Limits = &blend.Limits{Shares: []blend.Band{{Of: "R1", Max: ptr(0.5)}, {Of: "wood:oak, new", Min: ptr(0.2)}}}
	file, err := book.PlanFile(wish)
	h.must(err)
	back, err := blend.Parse(file)
	h.must(err)
	if len(back.Unfilled()) != 0 || *back.Sources[0].CostPerL != 14 || back.Sources[0].Shares["wood:oak, new"] != 1 {
		t.Errorf("the file is read as %+v", back)
	}
	one, err := blend.Solve(wish)
	h.must(err)
	two, err := blend.Solve(back)
	h.must(err)
	if one.Objective != two.Objective || one.Status != blend.StatusOptimal {
		t.Errorf("the wish gives %g (%s), its file %g (%s)", one.Objective, one.Status, two.Objective, two.Status)
	}
}

func TestTheAnswerOfTheBench(t *testing.T) {
	h := stillhouse(t)
	found, err := book.WorkOut(h.wish(20, "RYE", "APPLE", "JAR"))
	h.must(err)
	if !found.Possible() || len(found.Alternatives) < 2 || len(found.Left) == 0 || len(found.Reach.Outline) < 3 {
		t.Fatalf("the answer is %+v", found)
	}
	for _, line := range found.Left {
		if line.LeftL < 0 || line.YearsOld == nil || math.Abs(*line.YearsOld-3) > 0.05 || line.LossL == nil {
			t.Errorf("left: %+v", line)
		}
	}
	found, err = book.WorkOut(h.wish(200, "RYE", "APPLE", "JAR"))
	h.must(err)
	if found.Possible() || len(found.Repairs) == 0 {
		t.Fatalf("an impossible wish is answered with %+v", found)
	}
	for _, r := range found.Repairs {
		again, err := book.WorkOut(r.Plan)
		h.must(err)
		if !again.Possible() {
			t.Errorf("%q does not help", r.Words)
		}
	}
}

// Plans that wait come soonest first, those without a day last.
func TestPlansInOrder(t *testing.T) {
	h := stillhouse(t)
	wish := h.wish(5, "RYE")
	for _, c := range []struct {
		name string
		days cellar.Day
	}{{"some day", 0}, {"late", 60}, {"soon", 7}} {
		found, err := book.WorkOut(wish)
		h.must(err)
		f := book.Kept(wish, found.Result.Draws, found.Result.WaterKg, *found.Result.Made)
		f.Name, f.File = c.name, []byte("{}")
		if c.days > 0 {
			f.Wanted = cellar.DayOf(h.clock.now) + c.days
		}
		_, err = h.KeepPlan("", "keeper", f)
		h.must(err)
	}
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		var names []string
		for _, line := range v.Plans() {
			names = append(names, line.Name)
		}
		if got := strings.Join(names, ", "); got != "soon, late, some day" {
			t.Errorf("the plans are %s", got)
		}
		return nil
	}))
}

// A raw reading is corrected before the trim is worked out, and a volume is
// brought to 20 °C: the same trim as from corrected figures.
func TestTheTrimOfARawReading(t *testing.T) {
	h := stillhouse(t)
	plan := h.kept(h.wish(20, "RYE", "APPLE"), "spring")
	const at, read = 14.0, 45.2
	glass := spirit.Hydrometer{Scale: spirit.ScaleStrength, Base: spirit.Reference}
	q, _, err := glass.Strength(glass.Observed(read, at))
	h.must(err)
	litres, err := spirit.VolumeFrom(19.5, q, at, spirit.Reference)
	h.must(err)
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		line, err := v.FindPlan(plan.ID)
		h.must(err)
		raw, err := v.Trim(line, book.VatGauge{StrengthPct: read, Raw: true, VolumeL: ptr(19.5), TempC: ptr(at)})
		h.must(err)
		want, err := v.Trim(line, book.VatGauge{StrengthPct: float64(q), VolumeL: ptr(float64(litres))})
		h.must(err)
		if raw.WaterKg <= 0 || math.Abs(raw.WaterKg-want.WaterKg) > 1e-9 || math.Abs(raw.Made.StrengthPct-46) > 1e-6 {
			t.Errorf("the trim is %+v, want %+v", raw, want)
		}
		if _, err := v.Trim(line, book.VatGauge{StrengthPct: read, Raw: true}); err == nil || !strings.Contains(err.Error(), "temperature") {
			t.Errorf("a raw reading without its temperature: %v", err)
		}
		return nil
	}))
}
