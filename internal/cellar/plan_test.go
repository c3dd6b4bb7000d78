package cellar

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"example.org/croze/internal/spirit"
)

func aPlan() *Plan {
	return &Plan{
		Name: "spring", File: json.RawMessage(`{"kind":"blend"}`), WaterKg: 3,
		Draws: []PlanDraw{{Vessel: "A", VolumeL: 10, StrengthPct: 60}}, VolumeL: 13, StrengthPct: 46,
	}
}

// A plan is kept as it is, and moves nothing.
func TestAPlanMovesNothing(t *testing.T) {
	s := filledCask(t)
	before := s.fold().Balance(VesselAccount("A"))
	e := s.record(aPlan())
	state := s.fold()
	if got := state.Balance(VesselAccount("A")); got != before {
		t.Errorf("a plan took from A: %v, was %v", got, before)
	}
	if kept, ok := state.FindPlan(e.ID); !ok || kept.Name != "spring" || kept.Entry.ID != e.ID {
		t.Errorf("the plan is kept as %+v", kept)
	}
	s.record(&Void{Entry: e.ID, Reason: "not wanted"})
	if _, ok := s.fold().FindPlan(e.ID); ok {
		t.Error("a plan that was taken back is still there")
	}
}

func TestImpossiblePlansAreRefused(t *testing.T) {
	for words, change := range map[string]func(*Plan){
		"name":     func(f *Plan) { f.Name = "" },
		"wanted":   func(f *Plan) { f.Wanted = 9_000_000 },
		"file":     func(f *Plan) { f.File = json.RawMessage(`{`) },
		"bytes":    func(f *Plan) { f.File = json.RawMessage(`"` + strings.Repeat("x", LongestPlan) + `"`) },
		"draws":    func(f *Plan) { f.Draws = nil },
		"water_kg": func(f *Plan) { f.WaterKg = -1 },
		"% vol":    func(f *Plan) { f.Draws[0].StrengthPct = 101 },
		"L at":     func(f *Plan) { f.VolumeL = math.Inf(1) },
		"vessel":   func(f *Plan) { f.Draws[0].Vessel = "Z" },
	} {
		f := aPlan()
		change(f)
		filledCask(t).refuses(f, words)
	}
}

// A cost is of what is in the vessel: the next filling has none until it is said.
func TestACostEndsWithItsFilling(t *testing.T) {
	s := filledCask(t)
	s.record(&Cost{Vessel: "A", PerL: 14.5})
	if cost, known := s.fold().CostOf("A"); !known || cost != 14.5 {
		t.Errorf("the cost of A is %g (%t), want 14.5", cost, known)
	}
	s.record(&Draw{Vessel: "A", Measure: measure(t, 10, 60)})
	s.record(&Cost{Vessel: "A", PerL: 15})
	if cost, known := s.fold().CostOf("A"); !known || cost != 15 {
		t.Errorf("the cost of A is %g (%t), want 15", cost, known)
	}
	s.record(&Empty{Vessel: "A"})
	if _, known := s.fold().CostOf("A"); known {
		t.Error("an empty vessel has the cost of what was in it")
	}
	s.refuses(&Cost{Vessel: "A", PerL: 15}, "empty")
	filledCask(t).refuses(&Cost{Vessel: "A", PerL: 1e300}, "cost_per_l")
}

// A draw that was weighed counts by its weight in air: 9.0811 kg of a spirit of
// 909.1 kg/m³ (60 % vol) are 9.0909 kg · (1 - 1.2/8000)/(1 - 1.2/909.1) in
// vacuum, which is 10.00 L.
func TestABlendByWeightNamesItsPlan(t *testing.T) {
	s := filledCask(t)
	s.record(&VesselFact{Vessel{Code: "VAT", Kind: Tank, CapacityL: 100}})
	plan := s.record(aPlan())
	request := Request{
		Entry: "blend", Vessel: "VAT", Plan: plan.ID, WaterKg: ptr(3.0),
		Draws: []RequestDraw{{From: "A", WeighsKg: ptr(9.0811), StrengthPct: ptr(60.0)}},
	}
	f, _, err := s.resolve(request)
	if err != nil {
		t.Fatal(err)
	}
	blend := f.(*Blend)
	if blend.Plan != plan.ID {
		t.Errorf("the blend names the plan %q", blend.Plan)
	}
	d, err := spirit.DensityOf(mustFraction(t, 60), spirit.Reference)
	if err != nil {
		t.Fatal(err)
	}
	mass := 9.0811 * (1 - 1.2/8000) / (1 - 1.2/float64(d))
	near(t, "the mass", float64(blend.Draws[0].Measure.Amount.Mass()), mass, 1e-5)
	near(t, "the volume", float64(blend.Draws[0].Measure.Amount.Volume()), 10, 0.003)

	request.Draws[0].VolumeL = ptr(10.0)
	_, _, err = s.resolve(request)
	wantProblem(t, err, "weighs_kg", "not both")
	request.Draws[0].VolumeL, request.Draws[0].WeighsKg = nil, ptr(-1.0)
	_, _, err = s.resolve(request)
	wantProblem(t, err, "weighs_kg", "above 0")
	request.Draws[0].WeighsKg, request.Plan = ptr(9.0), "E9"
	_, _, err = s.resolve(request)
	wantProblem(t, err, "plan", "E9", "no such plan")
}

func mustFraction(t *testing.T, q spirit.Strength) spirit.MassFraction {
	t.Helper()
	p, err := q.MassFraction()
	if err != nil {
		t.Fatal(err)
	}
	return p
}
