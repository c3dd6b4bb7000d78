package blend

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.org/croze/internal/spirit"
)

// TestReduceInPortions by hand: 100 L of 62 % to 46 % makes 134.78 L, which is
// three measures of 50 L, each with 33.33 L of spirit and 44.93 L in the end.
func TestReduceInPortions(t *testing.T) {
	r, err := ReduceInPortions(100, 62, 46, 50)
	if err != nil || len(r.Portions) != 3 {
		t.Fatalf("%+v, %v", r, err)
	}
	// 134.782609·0.93773044 - 100·0.90460231 = 126.389755 - 90.460231 kg.
	if !near(r.WaterKg, 35.929525, 2e-5) || !near(r.VolumeL, 134.782609, 1e-5) || !near(r.ContractionL, 100+r.WaterL-r.VolumeL, 1e-9) {
		t.Errorf("got %+v", r)
	}
	if p := r.Portions[0]; !near(p.SpiritL, 33.333333, 1e-5) || !near(p.VolumeL, 44.927536, 1e-5) {
		t.Errorf("got %+v", p)
	}
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	for _, field := range []string{`"water_l"`, `"water_kg"`, `"volume_l"`, `"contraction_l"`, `"portions":[{"spirit_l"`} {
		if !strings.Contains(string(text), field) {
			t.Errorf("%s is not in %s", field, text)
		}
	}
}

// TestPortionsProperties: portions fit the measure, are equal, add up exactly
// to the lot, and each is a reduction of its own to the wanted strength.
func TestPortionsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.Float64Range(1, 99).Draw(t, "from")
		to := from * rapid.Float64Range(0.3, 1).Draw(t, "part")
		volume := rapid.Float64Range(1, 2000).Draw(t, "volume")
		measure := volume * rapid.Float64Range(0.05, 4).Draw(t, "measure")
		r, err := ReduceInPortions(volume, from, to, measure)
		if err != nil {
			t.Fatal(err)
		}
		var sum Portion
		rest := Portion{volume, r.WaterL, r.WaterKg, r.VolumeL, r.WeighsKg}
		for _, p := range r.Portions {
			sum = Portion{sum.SpiritL + p.SpiritL, sum.WaterL + p.WaterL, sum.WaterKg + p.WaterKg, sum.VolumeL + p.VolumeL, 0}
			rest.SpiritL -= p.SpiritL
			rest.WaterKg -= p.WaterKg
			if p.VolumeL > measure*(1+1e-8) {
				t.Fatalf("a portion of %g L does not fit %g", p.VolumeL, measure)
			}
			if math.Abs(p.SpiritL-r.Portions[0].SpiritL) > 1e-9*volume {
				t.Fatalf("portions differ: %+v and %+v", p, r.Portions[0])
			}
			made, err := mixture(p.SpiritL*from/100, p.SpiritL*density(from)+p.WaterKg)
			if err != nil || !near(made.StrengthPct, to, 1e-4) {
				t.Fatalf("a portion comes to %g %%, %g wanted: %v", made.StrengthPct, to, err)
			}
		}
		if rest.SpiritL != 0 || rest.WaterKg != 0 {
			t.Fatalf("taking the portions from the lot leaves %g L and %g kg", rest.SpiritL, rest.WaterKg)
		}
		if !near(sum.VolumeL, r.VolumeL, 1e-9*volume) || !near(sum.WaterL, r.WaterL, 1e-9*volume) {
			t.Fatalf("the portions come to %+v, the lot to %+v", sum, r)
		}
		if fewer := float64(len(r.Portions) - 1); fewer > 0 && r.VolumeL/fewer <= measure*(1-1e-8) {
			t.Fatalf("%g portions would have done", fewer)
		}
	})
}

func TestReduceRefuses(t *testing.T) {
	for _, c := range []struct {
		volume, from, to, portion float64
		want                      string
	}{
		{0, 60, 40, 0, "volume: 0 is outside 0.001"},
		{10, 146, 40, 0, "from: 146 is outside above 0 up to 100"},
		{10, 40, 60, 0, "to: 60 % vol is above the spirit's 40"},
		{10, 40, 0, 0, "to: 0 is outside"},
		{10, 60, 40, -1, "portion: -1 is outside"},
		{10, 60, 40, math.NaN(), "portion: NaN is not finite"},
		{1e6, 60, 40, 0.1, "portion: 0.1 L would make"},
	} {
		if _, err := ReduceInPortions(c.volume, c.from, c.to, c.portion); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: %v", c, err)
		}
	}
}

// TestReduceAgreesWithSpirit holds the plan kind "reduction" against spirit's own reduction.
func TestReduceAgreesWithSpirit(t *testing.T) {
	p := Plan{Kind: KindReduction, Target: &Target{StrengthPct: 43}, Water: true, Sources: []Source{{ID: "A", AvailableL: 60, StrengthPct: 58.7, KeepL: 5}}}
	r := solved(t, p)
	want, err := spirit.Reduce(55, 58.7, 43)
	if err != nil || !near(r.WaterKg, float64(want.Water), 1e-5) || !near(r.Made.VolumeL, float64(want.Volume), 1e-5) || !near(r.Draws[0].VolumeL, 55, 1e-9) {
		t.Errorf("got %+v, spirit has %+v, %v", r, want, err)
	}
	p.Target.StrengthPct = 70
	if r = solved(t, p); r.Status != StatusInfeasible || r.ClashPaths[len(r.ClashPaths)-1] != "target.strength_pct" {
		t.Errorf("to 70 %%: %+v", r)
	}
}
