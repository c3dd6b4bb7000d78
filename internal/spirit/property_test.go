package spirit

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The generators draw from the whole of each range, ends included. A failing
// draw is printed with its seed by rapid.
var (
	fractions    = rapid.Float64Range(0, 1)
	strengths    = rapid.Float64Range(0, 100)
	temperatures = rapid.Float64Range(float64(ColdestLiquid), float64(WarmestLiquid))
	bases        = rapid.SampledFrom([]Celsius{Reference, ProofBase})
	scales       = rapid.SampledFrom([]Scale{ScaleStrength, ScaleProof, ScaleDensity, ScaleGravity})
)

// inverseWithin is what the inverses promise, kg/kg.
const inverseWithin = 1e-10

func TestDensityRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, at := MassFraction(fractions.Draw(t, "p")), Celsius(temperatures.Draw(t, "t"))
		d, err := DensityOf(p, at)
		if err != nil {
			t.Fatal(err)
		}
		back, err := MassFractionOf(d, at)
		if err != nil || math.Abs(float64(back-p)) > inverseWithin {
			t.Fatalf("%v at %v: %v back as %v, %v", p, at, d, back, err)
		}
	})
}

// A sweep beside the random draws: every 0.5 °C, every 0.1 %.
func TestDensityFallsAsStrengthRises(t *testing.T) {
	for at := ColdestLiquid; at <= WarmestLiquid; at += 0.5 {
		poly := atTemperature(at)
		for i := range 1001 {
			if _, slope := poly.densityAndSlope(float64(i) / 1000); slope >= 0 {
				t.Fatalf("at %v °C and %.1f %% by mass the density does not fall: slope %v", at, float64(i)/10, slope)
			}
		}
	}
}

func TestMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := fractions.Draw(t, "p"), fractions.Draw(t, "q")
		at := Celsius(temperatures.Draw(t, "t"))
		if p > q {
			p, q = q, p
		}
		if q-p < 1e-9 {
			return
		}
		weak, _ := DensityOf(MassFraction(p), at)
		strong, _ := DensityOf(MassFraction(q), at)
		if !(weak > strong) {
			t.Fatalf("density at %v: %v of %v, %v of %v", at, weak, p, strong, q)
		}
		weakVol, _ := MassFraction(p).Strength()
		strongVol, _ := MassFraction(q).Strength()
		weakProof, _ := MassFraction(p).Proof()
		strongProof, _ := MassFraction(q).Proof()
		if !(weakVol < strongVol && weakProof < strongProof) {
			t.Fatalf("strength does not rise from %v to %v", p, q)
		}
	})
}

func TestStrengthRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := Strength(strengths.Draw(t, "q"))
		p, err := q.MassFraction()
		if err != nil {
			t.Fatal(err)
		}
		back, err := p.Strength()
		if err != nil || math.Abs(float64(back-q)) > 1e-8 {
			t.Fatalf("%v %% vol back as %v, %v", q, back, err)
		}
		proof, err := q.Proof()
		if err != nil {
			t.Fatal(err)
		}
		back, err = proof.Strength()
		if err != nil || math.Abs(float64(back-q)) > 1e-8 {
			t.Fatalf("%v %% vol through %v proof back as %v, %v", q, proof, back, err)
		}
	})
}

func TestGravityRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := MassFraction(fractions.Draw(t, "p"))
		at, water := Celsius(temperatures.Draw(t, "t")), Celsius(temperatures.Draw(t, "water at"))
		vacuum, err := Gravity(p, at, water)
		if err != nil {
			t.Fatal(err)
		}
		air, err := GravityInAir(p, at, water)
		if err != nil {
			t.Fatal(err)
		}
		a, errA := MassFractionOfGravity(vacuum, at, water)
		b, errB := MassFractionOfGravityInAir(air, at, water)
		if errA != nil || errB != nil || math.Abs(float64(a-p))+math.Abs(float64(b-p)) > inverseWithin {
			t.Fatalf("%v back as %v (%v) and %v (%v)", p, a, errA, b, errB)
		}
	})
}

func TestWeighingRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := Kilograms(rapid.Float64Range(0, 1000).Draw(t, "m"))
		d := Density(rapid.Float64Range(700, 1000).Draw(t, "d"))
		shown, err := WeighedOfMass(m, d)
		if err != nil {
			t.Fatal(err)
		}
		back, err := MassOfWeighed(shown, d)
		if err != nil || math.Abs(float64(back-m)) > 1e-12*float64(m) || shown > m {
			t.Fatalf("%v kg shows %v, back as %v, %v", m, shown, back, err)
		}
	})
}

// A mass fraction goes to the stem and back on all four scales and both bases,
// wherever the liquid floats the stem within its scale.
func TestHydrometerRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := Hydrometer{scales.Draw(t, "scale"), bases.Draw(t, "base")}
		p, at := MassFraction(fractions.Draw(t, "p")), Celsius(temperatures.Draw(t, "t"))
		reading, err := h.Reading(p, at)
		if err != nil {
			if h.Scale == ScaleDensity || h.Scale == ScaleGravity {
				t.Fatalf("%v: %v", h, err)
			}
			return // lighter than ethanol or heavier than water at the base: off the scale
		}
		back, err := h.True(reading, at)
		if err != nil || math.Abs(float64(back-p)) > inverseWithin {
			t.Fatalf("%v in %v at %v shows %v, back as %v, %v", h, p, at, reading, back, err)
		}
	})
}

// At its base temperature a stem shows what it is marked in.
func TestHydrometerAtItsBase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		base := bases.Draw(t, "base")
		reading := strengths.Draw(t, "reading")
		p, err := Hydrometer{ScaleStrength, base}.True(reading, base)
		if err != nil {
			t.Fatal(err)
		}
		strength, _ := p.Strength()
		if base == ProofBase {
			proof, _ := p.Proof()
			strength = Strength(proof / 2)
		}
		if math.Abs(float64(strength)-reading) > 1e-8 {
			t.Fatalf("a stem for %v °C reads %v in %v %% vol", base, reading, strength)
		}
	})
}

func amounts(t *rapid.T, name string) Amount {
	return Amount{
		EthanolMg: rapid.Int64Range(0, 1e12).Draw(t, name+" ethanol"),
		WaterMg:   rapid.Int64Range(0, 1e12).Draw(t, name+" water"),
	}
}

func TestAmountsAddExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := amounts(t, "a"), amounts(t, "b")
		if a.Add(b).Sub(b) != a || a.Add(b) != b.Add(a) || a.Add(a.Neg()) != (Amount{}) {
			t.Fatalf("%v and %v", a, b)
		}
		m, err := Mix(a, b)
		if err != nil || m.Amount != a.Add(b) {
			t.Fatalf("mixing %v and %v gives %v, %v", a, b, m.Amount, err)
		}
		alcohol := float64(a.PureAlcohol() + b.PureAlcohol())
		near(t, "pure alcohol", float64(m.Amount.PureAlcohol()), alcohol, 1e-12*alcohol)
	})
}

// Volume and strength give the amount, and the amount gives them back to the
// rounding of a milligram.
func TestAmountRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := Litres(rapid.Float64Range(0.1, 1e5).Draw(t, "v"))
		q, at := Strength(strengths.Draw(t, "q")), Celsius(temperatures.Draw(t, "t"))
		a, err := AmountAt(v, at, q)
		if err != nil {
			t.Fatal(err)
		}
		back, err := a.VolumeAt(at)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "volume", float64(back), float64(v), 2e-6)
		near(t, "strength", float64(a.Strength()), float64(q), 2e-4/float64(v))
		near(t, "pure alcohol by proof gallons", float64(a.ProofGallons()), float64(a.PureAlcohol())*0.5257, 0.001*float64(a.PureAlcohol()))
	})
}

// Reducing adds water and keeps the ethanol; what comes out has the strength
// asked for, and the volumes differ by the contraction.
func TestReductionConserves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := Litres(rapid.Float64Range(0.5, 1e4).Draw(t, "v"))
		from := rapid.Float64Range(1, 100).Draw(t, "from")
		to := rapid.Float64Range(0.01, 1).Draw(t, "part") * from
		r, err := Reduce(v, Strength(from), Strength(to))
		if err != nil {
			t.Fatal(err)
		}
		before, _ := AmountOf(v, Strength(from))
		water, _ := Water(r.Water)
		after := before.Add(water)
		near(t, "strength", float64(after.Strength()), to, 1e-3/float64(v))
		near(t, "volume", float64(after.Volume()), float64(r.Volume), 1e-5)
		near(t, "water", float64(r.WaterVolume), 1000*float64(r.Water)/float64(WaterDensity), 1e-9)
		near(t, "contraction", float64(v+r.WaterVolume-r.Volume), float64(r.Contraction), 1e-5)
		near(t, "pure alcohol", float64(r.Volume)*to, float64(v)*from, 1e-3)
	})
}

// What is 35 % vol or stronger after mixing took less room than its parts. The
// bound matters: weak spirit and water swell a little.
func TestMixingContracts(t *testing.T) {
	const rounding = 5e-6 // L: milligrams of ethanol and water in each of three amounts
	rapid.Check(t, func(t *rapid.T) {
		q1 := rapid.Float64Range(35, 100).Draw(t, "q1")
		q2 := rapid.Float64Range(35, 100).Draw(t, "q2")
		a, _ := AmountOf(Litres(rapid.Float64Range(1, 100).Draw(t, "v1")), Strength(q1))
		b, _ := AmountOf(Litres(rapid.Float64Range(1, 100).Draw(t, "v2")), Strength(q2))
		m, err := Mix(a, b)
		if err != nil || m.Contraction < -rounding {
			t.Fatalf("%v and %v: contraction %v, %v", a, b, m.Contraction, err)
		}
		r, err := a.ReducedTo(35)
		if err != nil || r.Contraction < -rounding {
			t.Fatalf("%v to 35 %% vol: contraction %v, %v", a, r.Contraction, err)
		}
	})
}

func TestVolumeFromRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v, q := Litres(rapid.Float64Range(0, 1e5).Draw(t, "v")), Strength(strengths.Draw(t, "q"))
		one, two := Celsius(temperatures.Draw(t, "one")), Celsius(temperatures.Draw(t, "two"))
		there, err := VolumeFrom(v, q, one, two)
		if err != nil {
			t.Fatal(err)
		}
		back, err := VolumeFrom(there, q, two, one)
		if err != nil || math.Abs(float64(back-v)) > 1e-12*float64(v) {
			t.Fatalf("%v L back as %v, %v", v, back, err)
		}
		a, _ := AmountAt(1, one, q)
		b, _ := AmountAt(there/max(v, 1e-9), two, q)
		if v > 1 && math.Abs(float64(a.EthanolMg-b.EthanolMg)) > 1 {
			t.Fatalf("ethanol %v and %v", a.EthanolMg, b.EthanolMg)
		}
	})
}

// An obscuration hides strength, so correcting for it never lowers one.
func TestSolidsRaiseStrength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := Strength(rapid.Float64Range(10, 80).Draw(t, "q"))
		r := Residue(rapid.Float64Range(0, float64(MostResidue)).Draw(t, "residue"))
		byRule, err := CorrectForResidue(q, r)
		if err != nil {
			t.Fatal(err)
		}
		// Two degrees of proof are 1 % vol at 60 °F, and near enough at 20 °C.
		near(t, "raised by", float64(byRule-q), 2*float64(r), 0.01)
		o := Obscuration(rapid.Float64Range(0, 10).Draw(t, "obscuration"))
		measured, err := o.Correct(q)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "raised by", float64(measured-q), float64(o), 1e-12)
	})
}
