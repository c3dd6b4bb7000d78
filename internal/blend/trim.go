package blend

import (
	"fmt"
	"math"
)

// Trim is what to add to a vat that was gauged, to bring it to its strength:
// water, or a draw from a vessel, or both. Volumes are litres at 20 °C.
type Trim struct {
	WaterL        float64 `json:"water_l"`
	WaterKg       float64 `json:"water_kg"`
	WaterWeighsKg float64 `json:"water_weighs_kg"`
	Draw          *Draw   `json:"draw,omitempty"`
	Made          Made    `json:"result"`
}

// Gauged is what was measured in the vat, at 20 °C.
type Gauged struct {
	VolumeL     float64
	StrengthPct float64
}

func (g Gauged) check(pct float64) error {
	found := &problems{}
	checkNumber(found, "", "measured volume", g.VolumeL, aVolume)
	checkNumber(found, "", "measured strength", g.StrengthPct, aStrength)
	checkNumber(found, "", "wanted strength", pct, scope{0, 100, true})
	return found.err()
}

// TrimWithWater works out the water that brings the vat down to a strength. A
// vat that is weaker already is an error that says what would help.
func TrimWithWater(g Gauged, pct float64) (Trim, error) {
	if err := g.check(pct); err != nil {
		return Trim{}, err
	}
	if g.StrengthPct < pct {
		return Trim{}, fmt.Errorf("the vat is at %s %% vol, below the %s wanted: water cannot help, add from a stronger vessel", plainNumber(g.StrengthPct), plainNumber(pct))
	}
	water, err := waterFor(g.VolumeL*g.StrengthPct/100, g.VolumeL*density(g.StrengthPct), pct)
	if err != nil {
		return Trim{}, err
	}
	return g.trimmed(nil, 0, math.Max(0, water))
}

// TrimWithVessel works out the draw from a vessel that brings the vat to a
// strength, up or down. With x litres drawn, alcohol over mass must be that of
// the wanted strength: (V·a + x·a') / (V·m + x·m') = A / M.
func TrimWithVessel(g Gauged, pct float64, from Source) (Trim, error) {
	if err := g.check(pct); err != nil {
		return Trim{}, err
	}
	if err := from.check(from.ID, true); err != nil {
		return Trim{}, err
	}
	up, stronger := g.StrengthPct < pct, from.StrengthPct > pct
	if g.StrengthPct != pct && up != stronger || from.StrengthPct == pct && g.StrengthPct != pct {
		return Trim{}, fmt.Errorf("%s is at %s %% vol: it cannot bring the vat from %s to %s",
			from.ID, plainNumber(from.StrengthPct), plainNumber(g.StrengthPct), plainNumber(pct))
	}
	alcohol, mass := pct/100, density(pct)
	x := 0.0
	if g.StrengthPct != pct {
		over := g.VolumeL * (density(g.StrengthPct)*alcohol - g.StrengthPct/100*mass)
		x = over / (from.StrengthPct/100*mass - density(from.StrengthPct)*alcohol)
	}
	if x > from.usable() {
		return Trim{}, fmt.Errorf("%s would have to give %.2f L and has %.2f to give", from.ID, x, from.usable())
	}
	return g.trimmed(&from, x, 0)
}

// TrimToVolume works out the draw and the water that bring the vat to a
// strength and a volume as well.
func TrimToVolume(g Gauged, wanted Target, from Source) (Trim, error) {
	if err := g.check(wanted.StrengthPct); err != nil {
		return Trim{}, err
	}
	if err := from.check(from.ID, true); err != nil {
		return Trim{}, err
	}
	short := (wanted.VolumeL*wanted.StrengthPct - g.VolumeL*g.StrengthPct) / 100
	x := 0.0
	if short != 0 {
		x = short / (from.StrengthPct / 100)
	}
	water := wanted.VolumeL*density(wanted.StrengthPct) - g.VolumeL*density(g.StrengthPct) - x*density(from.StrengthPct)
	if !(x >= 0) || math.IsInf(x, 0) || water < -1e-9 {
		return Trim{}, fmt.Errorf("%s L at %s %% vol cannot be reached from here with %s and water: %.2f L of it and %.2f kg of water would be wanted",
			plainNumber(wanted.VolumeL), plainNumber(wanted.StrengthPct), from.ID, x, water)
	}
	if x > from.usable() {
		return Trim{}, fmt.Errorf("%s would have to give %.2f L and has %.2f to give", from.ID, x, from.usable())
	}
	return g.trimmed(&from, x, math.Max(0, water))
}

// trimmed describes an addition and what the vat is after it.
func (g Gauged) trimmed(from *Source, litres, waterKg float64) (Trim, error) {
	t := Trim{WaterL: waterKg / waterDensity, WaterKg: waterKg, WaterWeighsKg: weighed(waterKg, waterDensity)}
	alcohol, mass := g.VolumeL*g.StrengthPct/100, g.VolumeL*density(g.StrengthPct)+waterKg
	if from != nil {
		c := cask{Source: from, alcohol: from.StrengthPct / 100, mass: density(from.StrengthPct)}
		d := c.draw(litres)
		t.Draw = &d
		alcohol += litres * c.alcohol
		mass += d.MassKg
	}
	var err error
	t.Made, err = mixture(alcohol, mass)
	return t, err
}
