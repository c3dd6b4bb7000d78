package cellar

import (
	"math"

	"example.org/croze/internal/spirit"
)

// CheckVessel holds a vessel's registration to what makes sense, and puts its
// code into the book's own spelling.
func CheckVessel(v *Vessel) error {
	code, _, err := ParseCode(v.Code)
	if err != nil {
		return err
	}
	v.Code = code
	switch v.Kind {
	case Cask, Hybrid, Jar, Tank:
	default:
		return invalid("kind", v.Kind, "use cask, hybrid, jar or tank")
	}
	if v.WoodState != "" && v.WoodState != NewWood && v.WoodState != UsedWood {
		return invalid("wood_state", v.WoodState, "use new or used, or leave it blank")
	}
	if !(v.CapacityL > 0 && v.CapacityL <= LargestVolumeL) {
		return invalid("capacity_l", trimmed(float64(v.CapacityL)), "must be above 0 and at most %d", LargestVolumeL)
	}
	if !(v.WoodAreaM2 >= 0 && v.WoodAreaM2 <= 10_000) {
		return invalid("wood_area_m2", trimmed(v.WoodAreaM2), "must be 0 to 10000")
	}
	if !(v.TareKg >= 0 && v.TareKg <= LargestMassKg) {
		return invalid("tare_kg", trimmed(float64(v.TareKg)), "must be 0 to %d", LargestMassKg)
	}
	if err := v.Inside.check(); err != nil {
		return err
	}
	if err := v.Spot.check(); err != nil {
		return err
	}
	for field, name := range map[string]string{"wood": v.Wood, "place": v.Place, "maker_code": v.MakerCode} {
		if name == "" {
			continue
		}
		if err := CheckName(field, name); err != nil {
			return err
		}
	}
	return CheckNote("note", v.Note)
}

// CheckPlace holds a place to sensible climate figures.
func CheckPlace(p Place) error {
	if err := CheckName("place", p.Name); err != nil {
		return err
	}
	if p.TempC != nil && !(*p.TempC >= -40 && *p.TempC <= 60) {
		return invalid("temp_c", trimmed(*p.TempC), "must be -40 to 60 °C")
	}
	if p.HumidityPct != nil && !(*p.HumidityPct >= 0 && *p.HumidityPct <= 100) {
		return invalid("humidity_pct", trimmed(*p.HumidityPct), "must be 0 to 100")
	}
	return nil
}

// CheckBatch holds a batch to sensible figures and works out the amount made
// from the volume and the strength as written. With a strength alone the
// amount stays open: as much as is filled from it.
func CheckBatch(b *Batch) error {
	if err := CheckName("batch", b.Name); err != nil {
		return err
	}
	if !(b.StrengthPct >= 0 && b.StrengthPct <= 100) {
		return invalid("strength_pct", trimmed(float64(b.StrengthPct)), "must be 0 to 100 (is it proof?)")
	}
	if !(b.VolumeL >= 0 && b.VolumeL <= LargestVolumeL) {
		return invalid("volume_l", trimmed(float64(b.VolumeL)), "must be above 0 and at most %d", LargestVolumeL)
	}
	if err := checkGrains(b.Grains); err != nil {
		return err
	}
	if b.MadeOn != 0 {
		if _, err := AskedDay("made_on", b.MadeOn.String()); err != nil {
			return err
		}
	}
	if b.Yeast != "" {
		if err := CheckName("yeast", b.Yeast); err != nil {
			return err
		}
	}
	b.Made = spirit.Amount{}
	if b.VolumeL > 0 && b.StrengthPct > 0 {
		made, err := spirit.AmountOf(b.VolumeL, b.StrengthPct)
		if err != nil {
			return invalid("volume_l", trimmed(float64(b.VolumeL)), "%v", err)
		}
		b.Made = made
	}
	return CheckNote("note", b.Note)
}

func checkGrains(grains map[string]float64) error {
	if len(grains) > MostGrains {
		return invalid("grains", len(grains), "at most %d", MostGrains)
	}
	sum := 0.0
	for name, share := range grains {
		if err := CheckName("grains", name); err != nil {
			return err
		}
		if !(share >= 0 && share <= 1) {
			return invalid("grains", trimmed(share), "the share of %s must be 0 to 1", name)
		}
		sum += share
	}
	const slack = 0.001 // shares are written with few decimals
	if math.IsNaN(sum) || sum > 1+slack {
		return invalid("grains", trimmed(sum), "the shares add up to more than 1")
	}
	return nil
}
