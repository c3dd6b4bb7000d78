package blend

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.org/croze/internal/spirit"
)

func TestWorkSheet(t *testing.T) {
	p, r := planFile(t, "two-vessels-and-water.json")
	s, err := WorkSheet(p, r.Draws, r.WaterKg, Conditions{VesselC: map[string]float64{"rye-1": 5}, OtherC: 20, MeasureL: 16, MostDrop: 5, RestHours: 24})
	if err != nil {
		t.Fatal(err)
	}
	if s.Measures != 2 || s.Draws[0].ID != "rye-1" || !near(s.Draws[0].VolumeL, 6, 1e-9) || !near(s.Result.VolumeL, 15, 1e-6) {
		t.Fatalf("got %+v", s)
	}
	// Cold spirit takes less room: the same mass at 5 °C.
	a, err := spirit.AmountOf(6, 62)
	if err != nil {
		t.Fatal(err)
	}
	cold, err := a.VolumeAt(5)
	if err != nil || !near(s.Draws[0].VolumeAtL, float64(cold), 1e-5) || s.Draws[0].VolumeAtL >= 6 {
		t.Errorf("6 L at 20 °C are %g L at 5 °C, spirit has %g: %v", s.Draws[0].VolumeAtL, float64(cold), err)
	}
	if !near(s.Draws[1].VolumeAtL, s.Draws[1].VolumeL, 1e-12) || s.Draws[0].WeighsKg >= s.Draws[0].MassKg {
		t.Errorf("got %+v", s.Draws)
	}
	// From 58.6 % to 46 % by at most 5: three additions.
	water := 0.0
	for i, w := range s.Water {
		water += w.WaterKg
		if last := i == len(s.Water)-1; last != (w.RestHours == 0) {
			t.Errorf("addition %d rests %g h", i, w.RestHours)
		}
	}
	if len(s.Water) != 3 || !near(water, r.WaterKg/2, 1e-9) || !near(s.Water[2].StrengthPct, 46, 1e-6) {
		t.Errorf("water is %+v", s.Water)
	}
	if drop := s.Spirit.StrengthPct - s.Water[0].StrengthPct; !near(drop, s.Water[0].StrengthPct-s.Water[1].StrengthPct, 1e-6) || drop > 5 {
		t.Errorf("the first addition brings it down by %g", drop)
	}
}

func TestWorkSheetRefuses(t *testing.T) {
	p, r := planFile(t, "two-vessels-and-water.json")
	if _, err := WorkSheet(p, []Draw{{ID: "elsewhere", VolumeL: 1}}, 0, Conditions{OtherC: 20}); err == nil || !strings.Contains(err.Error(), `"elsewhere"`) {
		t.Errorf("a vessel that is not in the plan: %v", err)
	}
	if _, err := WorkSheet(p, r.Draws, r.WaterKg, Conditions{OtherC: 60}); err == nil || !strings.Contains(err.Error(), "other_c: 60 is outside -20 to 40") {
		t.Errorf("60 °C: %v", err)
	}
}

// TestTrim: whatever the vat is gauged at, the trim brings it to the strength.
func TestTrim(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := Gauged{rapid.Float64Range(1, 500).Draw(t, "volume"), rapid.Float64Range(30, 70).Draw(t, "strength")}
		wanted := rapid.Float64Range(35, 65).Draw(t, "wanted")
		vessel := Source{ID: "A", AvailableL: 1e6, StrengthPct: 72}
		var trim Trim
		var err error
		if g.StrengthPct >= wanted {
			trim, err = TrimWithWater(g, wanted)
		} else {
			if _, err = TrimWithWater(g, wanted); err == nil {
				t.Fatal("water was to make it stronger")
			}
			trim, err = TrimWithVessel(g, wanted, vessel)
		}
		if err != nil || !near(trim.Made.StrengthPct, wanted, 1e-9) {
			t.Fatalf("%+v, %v", trim, err)
		}
		full := Target{VolumeL: g.VolumeL * 10, StrengthPct: wanted}
		if trim, err = TrimToVolume(g, full, vessel); err != nil || !near(trim.Made.StrengthPct, wanted, 1e-9) || !near(trim.Made.VolumeL, full.VolumeL, 1e-6) {
			t.Fatalf("%+v, %v", trim, err)
		}
	})
}

// TestTrimByHand: 30 L at 47.2 % to 46 %: 14.16 L of alcohol make 30.782609 L,
// 28.865790 kg; 30 L at 47.2 % weigh 28.064… kg, so about 0.8 kg of water.
func TestTrimByHand(t *testing.T) {
	trim, err := TrimWithWater(Gauged{30, 47.2}, 46)
	want := 30.782609*0.93773044 - 30*density(47.2)
	if err != nil || !near(trim.WaterKg, want, 1e-5) || !near(trim.Made.VolumeL, 30.782609, 1e-6) {
		t.Errorf("%+v, %v; by hand %g", trim, err, want)
	}
	weak := Source{ID: "B", AvailableL: 5, StrengthPct: 40}
	if _, err := TrimWithVessel(Gauged{30, 45}, 46, weak); err == nil || !strings.Contains(err.Error(), "cannot bring the vat from 45 to 46") {
		t.Errorf("a weak vessel: %v", err)
	}
	if trim, err = TrimWithVessel(Gauged{30, 46.5}, 46, weak); err != nil || !near(trim.Made.StrengthPct, 46, 1e-9) {
		t.Errorf("%+v, %v", trim, err)
	}
	if _, err := TrimWithVessel(Gauged{300, 48}, 41, weak); err == nil || !strings.Contains(err.Error(), "B cannot") && !strings.Contains(err.Error(), "B would have to give") {
		t.Errorf("more than there is: %v", err)
	}
	if trim, err = TrimWithVessel(Gauged{30, 46}, 46, weak); err != nil || trim.Draw.VolumeL != 0 {
		t.Errorf("nothing to trim: %+v, %v", trim, err)
	}
	if _, err := TrimToVolume(Gauged{30, 46}, Target{VolumeL: 20, StrengthPct: 46}, weak); err == nil {
		t.Error("a vat was made smaller")
	}
}
