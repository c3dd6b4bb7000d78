package spirit

import "testing"

// Exact by definition: 231 cubic inches of 25.4 mm, 0 and 100 °C.
func TestUnits(t *testing.T) {
	near(t, "gallon", float64(Gallons(1).Litres()), 231*2.54*2.54*2.54/1000, 1e-15)
	near(t, "and back", float64(Gallons(53).Litres().Gallons()), 53, 1e-12)
	near(t, "32 °F", float64(Fahrenheit(32).Celsius()), 0, 0)
	near(t, "212 °F", float64(Fahrenheit(212).Celsius()), 100, 1e-12)
	near(t, "60 °F", float64(ProofBase.Fahrenheit()), 60, 1e-12)
}

// A proof gallon is a gallon of 100 proof at 60 °F (27 CFR 19.1).
func TestProofGallon(t *testing.T) {
	p := must[MassFraction](t)(Proof(100).MassFraction())
	d := must[Density](t)(DensityOf(p, ProofBase))
	a := must[Amount](t)(AmountOfMass(Kilograms(LitresPerGallon*d/1000), p))
	near(t, "proof gallons", float64(a.ProofGallons()), 1, 1e-6)
	near(t, "proof", float64(a.Proof()), 100, 1e-4)
	near(t, "gallons at 60 °F", float64(must[Litres](t)(a.VolumeAt(ProofBase)).Gallons()), 1, 1e-6)
}

// A balance in air shows what buoyancy leaves, by the amount's own way and the long one.
func TestWeighedAmount(t *testing.T) {
	a := must[Amount](t)(AmountOf(18.2, 61.3))
	long := must[Kilograms](t)(WeighedOfMass(a.Mass(), must[Density](t)(a.Strength().Density())))
	near(t, "weighed", float64(a.Weighed()), float64(long), 1e-9)
}

// A number that is none of the scales, out of a damaged file, is refused.
func TestUnknownScale(t *testing.T) {
	h := Hydrometer{Scale: 9, Base: 20}
	if _, err := h.True(50, 20); err == nil {
		t.Error("a reading was taken")
	}
	if _, err := h.Reading(0.5, 20); err == nil {
		t.Error("a reading was given")
	}
	if text, err := h.Scale.MarshalText(); err == nil {
		t.Errorf("it was written as %s", text)
	}
	if v, err := ParseReading("46.2", h.Scale); err == nil {
		t.Errorf("46.2 was taken as %v", v)
	}
}
