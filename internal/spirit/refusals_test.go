package spirit

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// Every value outside its range, not-a-number among them, is refused with an
// error that names the quantity and its range.
func TestOutOfRangeNamesTheRange(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	stem := Hydrometer{ScaleStrength, 20}
	err1 := func(_ any, err error) error { return err }
	for _, c := range []struct {
		name, quantity string
		err            error
	}{
		{"density, fraction", "mass fraction", err1(DensityOf(1.01, 20))},
		{"density, fraction nan", "mass fraction", err1(DensityOf(MassFraction(nan), 20))},
		{"density, cold", "temperature", err1(DensityOf(0.5, -20.1))},
		{"density, nan", "temperature", err1(DensityOf(0.5, Celsius(nan)))},
		{"inverse, heavy", "density", err1(MassFractionOf(999, 20))},
		{"inverse, light", "density", err1(MassFractionOf(780, 20))},
		{"inverse, nan", "density", err1(MassFractionOf(Density(nan), 20))},
		{"inverse, hot", "temperature", err1(MassFractionOf(900, 40.1))},
		{"strength", "strength", err1(Strength(100.1).MassFraction())},
		{"strength to proof", "strength", err1(Strength(-0.1).Proof())},
		{"strength density", "strength", err1(Strength(101).Density())},
		{"proof", "proof", err1(Proof(201).MassFraction())},
		{"proof to strength", "proof", err1(Proof(nan).Strength())},
		{"fraction to strength", "mass fraction", err1(MassFraction(-1e-9).Strength())},
		{"fraction to proof", "mass fraction", err1(MassFraction(2).Proof())},
		{"gravity", "mass fraction", err1(Gravity(2, 20, 20))},
		{"gravity, water", "temperature", err1(Gravity(0.5, 20, 50))},
		{"gravity in air", "temperature", err1(GravityInAir(0.5, 50, 20))},
		{"of gravity", "specific gravity", err1(MassFractionOfGravity(1.2, 20, 20))},
		{"of gravity, t", "temperature", err1(MassFractionOfGravity(0.9, 60, 20))},
		{"of gravity in air", "specific gravity", err1(MassFractionOfGravityInAir(nan, 20, 20))},
		{"of gravity, water", "temperature", err1(MassFractionOfGravityInAir(0.9, 20, 60))},
		{"weighed", "density of what is weighed", err1(MassOfWeighed(1, 0.9))},
		{"of mass", "density of what is weighed", err1(WeighedOfMass(1, Density(nan)))},
		{"amount, volume", "volume", err1(AmountOf(-1, 40))},
		{"amount, volume nan", "volume", err1(AmountOf(Litres(nan), 40))},
		{"amount, strength", "strength", err1(AmountOf(1, 140))},
		{"amount, temperature", "temperature", err1(AmountAt(1, 99, 40))},
		{"amount, mass", "mass", err1(AmountOfMass(Kilograms(inf), 0.4))},
		{"amount, fraction", "mass fraction", err1(AmountOfMass(1, 40))},
		{"volume at", "temperature", err1(Amount{1, 1}.VolumeAt(70))},
		{"volume from", "volume", err1(VolumeFrom(Litres(inf), 40, 20, 20))},
		{"expansion, strength", "strength", err1(Expansion(140, 20, 20))},
		{"expansion, from", "temperature", err1(Expansion(40, 50, 20))},
		{"expansion, to", "temperature", err1(Expansion(40, 20, 50))},
		{"reduce up", "strength to reduce to", err1(Reduce(1, 40, 41))},
		{"reduce to nothing", "strength to reduce to", err1(Reduce(1, 40, 0))},
		{"reduce, nan", "strength to reduce to", err1(Reduce(1, 40, Strength(nan)))},
		{"reduce, from", "strength", err1(Reduce(1, 140, 40))},
		{"mix, ethanol", "ethanol to mix", err1(Mix(Amount{-1, 0}))},
		{"mix, water", "water to mix", err1(Mix(Amount{0, -1}))},
		{"stem", "hydrometer reading", err1(stem.True(101, 20))},
		{"stem, temperature", "temperature", err1(stem.True(50, 41))},
		{"stem, base", "base temperature", err1(Hydrometer{ScaleDensity, 60}.True(900, 20))},
		{"stem, proof", "hydrometer reading", err1(Hydrometer{ScaleProof, ProofBase}.True(nan, 20))},
		{"stem shows, base", "base temperature", err1(Hydrometer{ScaleDensity, 60}.Reading(0.5, 20))},
		{"stem shows, fraction", "mass fraction", err1(stem.Reading(1.5, 20))},
		{"solids", "dissolved solids", err1(Residue(0.61).Obscuration())},
		{"solids on strength", "dissolved solids", err1(CorrectForResidue(50, -0.1))},
		{"solids, strength", "strength", err1(CorrectForResidue(150, 0.1))},
		{"obscuration", "obscuration", err1(Obscuration(11).Correct(50))},
		{"obscuration beyond 100", "strength", err1(Obscuration(5).Correct(98))},
	} {
		var out *RangeError
		if !errors.As(c.err, &out) || !strings.HasPrefix(out.Quantity, c.quantity) {
			t.Errorf("%s: %v", c.name, c.err)
		}
	}
	if _, err := Reduce(0, 40, 30); err == nil || !strings.Contains(err.Error(), "above 0") {
		t.Errorf("reducing nothing: %v", err)
	}
}

// A reading that no liquid gives says which readings are possible: water of
// 30 °C floats a stem for 20 °C at 1.5 % vol, so it cannot show 0.
func TestImpossibleReadingNamesThePossible(t *testing.T) {
	_, err := Hydrometer{ScaleStrength, 20}.True(0, 30)
	var out *RangeError
	if !errors.As(err, &out) {
		t.Fatal(err)
	}
	water := must[float64](t)(Hydrometer{ScaleStrength, 20}.Reading(0, 30))
	near(t, "lowest", out.Low, water, 1e-12)
	near(t, "highest", out.High, 100, 0)
	if want := "hydrometer reading at 30 °C 0 % vol is outside"; !strings.HasPrefix(err.Error(), want) {
		t.Errorf("error is %q", err)
	}
}

// Pure water and pure ethanol come back from their own density, and sums of
// amounts show themselves for messages.
func TestEndsOfTheRange(t *testing.T) {
	for at := ColdestLiquid; at <= WarmestLiquid; at++ {
		for _, p := range []MassFraction{0, 1} {
			d := must[Density](t)(DensityOf(p, at))
			for _, nudge := range []Density{-1e-8, 0, 1e-8} {
				near(t, "fraction", float64(must[MassFraction](t)(MassFractionOf(d+nudge, at))), float64(p), 1e-9)
			}
		}
	}
	near(t, "100 % vol", float64(must[MassFraction](t)(Strength(100).MassFraction())), 1, 0)
	near(t, "200 proof", float64(must[MassFraction](t)(Proof(200).MassFraction())), 1, 0)
	near(t, "nothing", float64(Amount{}.Strength()), 0, 0)
	a := must[Amount](t)(AmountOf(18.2, 61.3))
	if a.String() != "18.20 L at 61.3 % vol" || a.Neg().String()[0] != '-' {
		t.Errorf("%v and %v", a, a.Neg())
	}
	if half := a.Scale(0.5).Add(a.Scale(0.5)).Sub(a); half.EthanolMg > 1 || half.WaterMg > 1 {
		t.Errorf("two halves are %+v more than the whole", half)
	}
}
