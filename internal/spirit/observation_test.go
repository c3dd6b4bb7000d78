package spirit

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// At the base temperature a stem in % vol shows the strength, so its own
// uncertainty comes through unchanged, and the thermometer's by the slope of
// strength on temperature, worked out here by hand from the density.
func TestUncertaintyAtTheBase(t *testing.T) {
	h := Hydrometer{ScaleStrength, Reference}
	q, sd, err := h.Strength(Observation{Reading: 46, ReadingSD: 0.1, At: 20})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "strength", float64(q), 46, 1e-9)
	near(t, "of the reading alone", float64(sd), 0.1, 1e-4)

	_, sd, err = h.Strength(Observation{Reading: 46, At: 20, AtSD: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	p := must[MassFraction](t)(Strength(46).MassFraction())
	d := func(p MassFraction, at Celsius) float64 { return float64(must[Density](t)(DensityOf(p, at))) }
	byTemperature := (d(p, 20.1)-d(p, 19.9))/0.2 + GlassExpansion*d(p, 20)
	byFraction := (d(p+1e-4, 20) - d(p-1e-4, 20)) / 2e-4
	fractionByStrength := must[MassFraction](t)(Strength(46.01).MassFraction()) - must[MassFraction](t)(Strength(45.99).MassFraction())
	want := 0.2 * math.Abs(byTemperature/byFraction) / (float64(fractionByStrength) / 0.02)
	near(t, "of the thermometer alone", float64(sd), want, 1e-3*want)
}

// The two add in square, and more doubt never makes a surer strength.
func TestUncertaintyGrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := Hydrometer{ScaleStrength, bases.Draw(t, "base")}
		o := h.Observed(rapid.Float64Range(30, 70).Draw(t, "reading"), Celsius(rapid.Float64Range(5, 30).Draw(t, "t")))
		_, both, err := h.Strength(o)
		if err != nil {
			t.Fatal(err)
		}
		onlyReading, onlyThermometer, doubled := o, o, o
		onlyReading.AtSD, onlyThermometer.ReadingSD = 0, 0
		doubled.ReadingSD, doubled.AtSD = 2*o.ReadingSD, 2*o.AtSD
		_, a, _ := h.Strength(onlyReading)
		_, b, _ := h.Strength(onlyThermometer)
		_, twice, _ := h.Strength(doubled)
		near(t, "in square", float64(both), math.Hypot(float64(a), float64(b)), 1e-12)
		near(t, "doubled", float64(twice), 2*float64(both), 0.01*float64(both))
	})
}

// At the ends of a scale one side is missing; the uncertainty must not vanish.
func TestUncertaintyAtTheEnds(t *testing.T) {
	h := Hydrometer{ScaleStrength, Reference}
	for _, reading := range []float64{0, 0.05, 99.95, 100} {
		_, sd, err := h.Strength(h.Observed(reading, 20))
		if err != nil || sd < 0.08 || sd > 0.15 {
			t.Errorf("at %v %% vol: %v, %v", reading, sd, err)
		}
	}
	for _, at := range []Celsius{ColdestLiquid, WarmestLiquid} {
		_, sd, err := h.Strength(h.Observed(50, at))
		if err != nil || sd < 0.1 || sd > 0.2 {
			t.Errorf("at %v °C: %v, %v", at, sd, err)
		}
	}
}

// The same liquid read on four stems gives the same strength and, with the
// usual uncertainties, much the same doubt.
func TestFourStemsAgree(t *testing.T) {
	p := must[MassFraction](t)(Strength(50).MassFraction())
	for _, s := range []Scale{ScaleStrength, ScaleProof, ScaleDensity, ScaleGravity} {
		h := Hydrometer{s, ProofBase}
		reading := must[float64](t)(h.Reading(p, 17))
		q, sd, err := h.Strength(h.Observed(reading, 17))
		if err != nil {
			t.Fatal(err)
		}
		near(t, s.String(), float64(q), 50, 1e-7)
		near(t, s.String()+" uncertainty", float64(sd), 0.13, 0.02)
	}
}

func TestObservationIsChecked(t *testing.T) {
	h := Hydrometer{ScaleStrength, Reference}
	for name, o := range map[string]Observation{
		"negative reading sd":  {Reading: 46, ReadingSD: -0.1, At: 20},
		"reading sd not known": {Reading: 46, ReadingSD: math.NaN(), At: 20},
		"negative t sd":        {Reading: 46, At: 20, AtSD: -1},
		"too cold":             {Reading: 46, At: -21},
		"reading":              {Reading: math.NaN(), At: 20},
	} {
		_, _, err := h.Strength(o)
		var out *RangeError
		if !errors.As(err, &out) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
