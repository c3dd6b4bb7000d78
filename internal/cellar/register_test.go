package cellar

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/croze/internal/spirit"
)

func TestCheckVessel(t *testing.T) {
	own := IssueCode(7)
	v := Vessel{Code: " " + lower(undashed(own)), Kind: Hybrid, CapacityL: 30, Wood: "oak", WoodState: NewWood, WoodAreaM2: 0.2, Place: "loft", TareKg: 12, MakerCode: "m/1"}
	if err := CheckVessel(&v); err != nil || v.Code != own {
		t.Errorf("the code became %q (%v), want %q", v.Code, err, own)
	}
	for field, change := range map[string]func(*Vessel){
		"code":          func(v *Vessel) { v.Code = "" },
		"code: ":        func(v *Vessel) { v.Code = "A\nB" },
		"last char":     func(v *Vessel) { v.Code = own[:6] + string('Z'-own[6]+'0') },
		"kind":          func(v *Vessel) { v.Kind = "bucket" },
		"wood_state":    func(v *Vessel) { v.WoodState = "old" },
		"capacity_l":    func(v *Vessel) { v.CapacityL = 0 },
		"above 0":       func(v *Vessel) { v.CapacityL = spirit.Litres(math.NaN()) },
		"at most":       func(v *Vessel) { v.CapacityL = spirit.Litres(math.Inf(1)) },
		"wood_area_m2":  func(v *Vessel) { v.WoodAreaM2 = -1 },
		"tare_kg":       func(v *Vessel) { v.TareKg = -1 },
		"wood: ":        func(v *Vessel) { v.Wood = strings.Repeat("x", LongestName+1) },
		"place: ":       func(v *Vessel) { v.Place = "a\tb" },
		"maker_code: ":  func(v *Vessel) { v.MakerCode = "\x00" },
		"note: ":        func(v *Vessel) { v.Note = strings.Repeat("x", LongestNote+1) },
		"not UTF-8":     func(v *Vessel) { v.Note = "\xff" },
		"0 to 10000":    func(v *Vessel) { v.WoodAreaM2 = math.NaN() },
		"0 to 1000000":  func(v *Vessel) { v.TareKg = spirit.Kilograms(math.Inf(1)) },
		"hybrid, jar":   func(v *Vessel) { v.Kind = "" },
		"leave it blan": func(v *Vessel) { v.WoodState = "NEW" },
	} {
		bad := v
		change(&bad)
		wantProblem(t, CheckVessel(&bad), field)
	}
	// The reason is said once, under the field that is at fault.
	bad := Vessel{Code: own[:6] + "0", Kind: Cask, CapacityL: 20}
	if own[6] == '0' {
		bad.Code = own[:6] + "1"
	}
	if err := CheckVessel(&bad); err == nil || strings.Count(err.Error(), "code: ") != 1 {
		t.Errorf("the problem is %q", err)
	}
}

func TestCheckPlace(t *testing.T) {
	if err := CheckPlace(Place{Name: "loft, north", TempC: ptr(-5.0), HumidityPct: ptr(100.0)}); err != nil {
		t.Error(err)
	}
	for field, p := range map[string]Place{
		"place":        {},
		"temp_c":       {Name: "loft", TempC: ptr(61.0)},
		"-40 to 60":    {Name: "loft", TempC: ptr(math.NaN())},
		"humidity_pct": {Name: "loft", HumidityPct: ptr(-1.0)},
		"0 to 100":     {Name: "loft", HumidityPct: ptr(math.NaN())},
	} {
		wantProblem(t, CheckPlace(p), field)
	}
}

func TestCheckBatch(t *testing.T) {
	b := Batch{Name: "rye 1", VolumeL: 100, StrengthPct: 60, Grains: map[string]float64{"rye": 0.667, "barley": 0.3335}, Yeast: "house"}
	if err := CheckBatch(&b); err != nil || b.Made != litres(t, 100, 60) {
		t.Errorf("the run gave %v (%v)", b.Made, err)
	}
	b.VolumeL = 0
	if err := CheckBatch(&b); err != nil || !b.Made.IsZero() {
		t.Errorf("a run of no stated volume gave %v (%v)", b.Made, err)
	}
	many := make(map[string]float64)
	for i := range MostGrains + 1 {
		many[fmt.Sprint("grain ", i)] = 0.01
	}
	for field, change := range map[string]func(*Batch){
		"batch":          func(b *Batch) { b.Name = "" },
		"is it proof":    func(b *Batch) { b.StrengthPct = 120 },
		"volume_l":       func(b *Batch) { b.VolumeL = -1 },
		"at most 100000": func(b *Batch) { b.VolumeL = spirit.Litres(math.NaN()) },
		"strength_pct":   func(b *Batch) { b.StrengthPct = spirit.Strength(math.NaN()) },
		"more than 1":    func(b *Batch) { b.Grains = map[string]float64{"rye": 0.7, "oat": 0.4} },
		"rye must be":    func(b *Batch) { b.Grains = map[string]float64{"rye": math.NaN()} },
		"grains":         func(b *Batch) { b.Grains = map[string]float64{"": 1} },
		"at most 20":     func(b *Batch) { b.Grains = many },
		"yeast":          func(b *Batch) { b.Yeast = "\x00" },
		"note":           func(b *Batch) { b.Note = "\xff" },
	} {
		bad := b
		change(&bad)
		wantProblem(t, CheckBatch(&bad), field)
	}
}

func TestGrainNames(t *testing.T) {
	b := Batch{Grains: map[string]float64{"oat": 0.2, "rye": 0.6, "barley": 0.2}}
	if got := b.GrainNames(); !slices.Equal(got, []string{"rye", "barley", "oat"}) {
		t.Errorf("the grains are %v", got)
	}
}

func TestWoodLabel(t *testing.T) {
	for want, v := range map[string]Vessel{
		"oak, new": {Kind: Cask, Wood: "oak", WoodState: NewWood}, "wood, used": {Kind: Jar, WoodState: UsedWood},
		"wood": {Kind: Hybrid}, "": {Kind: Tank, Wood: "oak", WoodState: NewWood},
	} {
		if got := v.WoodLabel(); got != want {
			t.Errorf("%+v counts days in %q, want %q", v, got, want)
		}
	}
}
