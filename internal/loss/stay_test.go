package loss

import (
	"math"
	"reflect"
	"slices"
	"testing"
)

// A vessel carried from a cold cellar to a warm loft loses as the cellar lets
// it before, and as the loft does after.
func TestMovedVessel(t *testing.T) {
	places := []Climate{
		{Place: "cellar", TempC: 9, HumidityPct: 85, TempKnown: true, HumidityKnown: true},
		{Place: "loft", TempC: 21, HumidityPct: 50, TempKnown: true, HumidityKnown: true},
	}
	vessel := func(code, place string, moves ...Move) Vessel {
		v := filledVessel(t, 50, 60)
		v.Code, v.Place, v.Moves = code, place, moves
		return v
	}
	stock := Stock{Places: places, Vessels: []Vessel{
		vessel("cellar", "cellar"), vessel("loft", "loft"),
		vessel("moved", "cellar", Move{At: 15400, Place: "loft"}, Move{At: 15400, Order: -1, Place: "cellar"}),
	}}
	m := Fit(stock)
	rate := func(code string, day float64) float64 {
		s, _ := m.State(code, day)
		return s.LossPctPerYear.Mean
	}
	if a, b := rate("moved", 15399), rate("cellar", 15399); math.Abs(a-b) > 1e-9 {
		t.Errorf("before the move it loses %.4f %% a year, one that stays %.4f %%", a, b)
	}
	if a, b := rate("moved", 15401), rate("loft", 15401); math.Abs(a/b-1) > 0.05 || a < 1.5*rate("cellar", 15401) {
		t.Errorf("after the move it loses %.3f %% a year, one in the loft %.3f %%", a, b)
	}
	other := stock.Vessels[2]
	other.Moves = slices.Clone(other.Moves)
	slices.Reverse(other.Moves)
	want, _ := m.State("moved", 15500)
	if got, _ := m.Refit(other).State("moved", 15500); !reflect.DeepEqual(got, want) {
		t.Errorf("moves in another order give %+v, not %+v", got, want)
	}
}

// Of places of which nobody measured the air, the readings show where summer is
// felt and where hardly, and which wood lets more through.
func TestPlacesAndWoodsDiffer(t *testing.T) {
	p := leakPlans["rooms"].in(seasonalWorld())
	p.leaks = 0
	var common float64
	swing, through := map[string]float64{}, map[string]float64{}
	for _, l := range Fit(simulate(p, 4).stock).Settings() {
		switch {
		case l.Name == "season of rate, cos" && l.Place == "":
			common = l.Value
		case l.Name == "season of rate, cos":
			swing[l.Place] = math.Abs(common + l.Value)
		case l.Place == "":
			through[l.Name] = l.Value
		}
	}
	if swing["vault"] > 0.5*swing["barn"] || swing["loft"] < 1.3*swing["barn"] {
		t.Errorf("seasons by place %v: in truth as 0.2 to 1 to 1.8", swing)
	}
	if through["rate through apple wood"] < through["rate through oak"]+0.15 {
		t.Errorf("rates by wood %v: in truth apple wood lets 1.6 times as much through as oak", through)
	}
}
