package gauge

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/croze/internal/spirit"
)

// hogshead is the cask that the methods are tried on, about 165 L.
var hogshead = Shape{Spheroid, 58, 48, 72}

// A dip, the ullage above it and the content by volume are the same gauge.
func TestDipAndUllageAgree(t *testing.T) {
	l := Of(62, 14)
	for _, p := range positions {
		for _, part := range []Centimetres{0, 0.1, 0.5, 0.83, 1} {
			depth := hogshead.depth(p)
			wet := depth * part
			dip := must[Measured](t)(ByDip(hogshead, p, wet, l))
			v := must[litresT](t)(hogshead.Content(p, wet))
			plain := must[Measured](t)(ByVolume(v, 14, 62))
			near(t, "dip", float64(dip.Volume), float64(plain.Volume), 1e-5)
			inside := must[Measured](t)(ByUllage(hogshead, p, depth-wet, l))
			near(t, "ullage", float64(inside.Volume), float64(dip.Volume), 1e-5)
			near(t, "its uncertainty", float64(inside.VolumeSD), float64(dip.VolumeSD), 1e-6)
			outside := Ullage{
				Shape: hogshead, Position: p, Capacity: must[Capacity](t)(hogshead.Figured()),
				Dry: depth - wet + 2.7, DrySD: UsualDipSD, Wood: 2.7,
			}
			fromOutside := must[Measured](t)(outside.Content(l))
			near(t, "ullage from outside", float64(fromOutside.Volume), float64(dip.Volume), 1e-5)
			if dip.Method != FromDip || inside.Method != FromUllage {
				t.Errorf("methods %q and %q", dip.Method, inside.Method)
			}
		}
	}
}

// A cask that was measured to hold 160 L, half full by the rod, holds 80 L.
func TestMeasuredCapacityRules(t *testing.T) {
	d := Dip{Shape: hogshead, Position: Lying, Capacity: Capacity{160, 0.4}, Wet: 29}
	m := must[Measured](t)(d.Content(Liquid{Strength: 60, At: 20}))
	near(t, "half", float64(m.Volume), 80, 1e-5)
	near(t, "uncertainty of the capacity alone", float64(m.VolumeSD), 0.2, 1e-6)
}

func TestMeterAndJug(t *testing.T) {
	l := Liquid{Strength: 60, At: 20}
	m := must[Measured](t)(Meter{Shown: 200, Correction: -0.004, SD: 0.003}.Content(l))
	near(t, "meter", float64(m.Volume), 199.2, 1e-5)
	near(t, "meter's uncertainty", float64(m.VolumeSD), 0.6, 1e-6)
	m = must[Measured](t)(ByMeter(200, l))
	near(t, "usual meter", float64(m.VolumeSD), 1, 1e-6)

	// Four jugs of 5 L and 1.2 L: the mark's error comes 4.24 times, the
	// filling's four times in square.
	j := Jug{Holds: 5, HoldsSD: 0.02, FillSD: 0.03, Times: 4, Last: 1.2, LastSD: 0.04}
	m = must[Measured](t)(j.Content(l))
	near(t, "jug", float64(m.Volume), 21.2, 1e-5)
	near(t, "jug's uncertainty", float64(m.VolumeSD), math.Sqrt(math.Pow(4.24*0.02, 2)+4*0.03*0.03+0.04*0.04), 1e-6)
	j.Last = 0
	m = must[Measured](t)(j.Content(l))
	near(t, "whole jugs", float64(m.VolumeSD), math.Sqrt(0.08*0.08+4*0.03*0.03), 1e-6)
	m = must[Measured](t)(ByJug(5, 0, 0, l))
	near(t, "nothing poured", float64(m.Volume)+float64(m.VolumeSD), 0, 0)
}

// draw is one throw of every input of a gauge, and the gauge of the throw.
type draw func(normal func() float64) (Measured, error)

// The uncertainty carried through is what chance does: 40 000 throws of the
// inputs, normal with their standard uncertainties, spread as far as is said.
// 2 % allows for the chance in a standard deviation of so many (0.35 % each
// sigma) and for the curvature that a straight slope leaves out.
func TestUncertaintyIsWhatChanceDoes(t *testing.T) {
	const throws = 40_000
	l := Liquid{Strength: 61, StrengthSD: 0.3, At: 12, AtSD: 1.5}
	thrown := func(n func() float64) Liquid {
		return Liquid{Strength: l.Strength + 0.3*spirit.Strength(n()), At: l.At + 1.5*spirit.Celsius(n())}
	}
	for name, c := range map[string]struct {
		said  func() (Measured, error)
		throw draw
	}{
		"weight": {
			func() (Measured, error) { return Weighing{60, 0.06, 22, 0.3}.Content(l) },
			func(n func() float64) (Measured, error) {
				w := Weighing{Gross: 60 + spirit.Kilograms(0.06*n()), Tare: 22 + spirit.Kilograms(0.3*n())}
				return w.Content(thrown(n))
			},
		},
		"volume": {
			func() (Measured, error) { return VolumeContent(FromVolume, 30, 0.1, l) },
			func(n func() float64) (Measured, error) {
				return VolumeContent(FromVolume, 30+spirit.Litres(0.1*n()), 0, thrown(n))
			},
		},
		"dip": {
			func() (Measured, error) { return Dip{hogshead, Lying, Capacity{160, 1.5}, 35, 0.4}.Content(l) },
			func(n func() float64) (Measured, error) {
				d := Dip{Shape: hogshead, Position: Lying, Capacity: Capacity{Volume: 160 + spirit.Litres(1.5*n())}}
				d.Wet = 35 + Centimetres(0.4*n())
				return d.Content(thrown(n))
			},
		},
		"level": {
			func() (Measured, error) { return Level{demijohn, Capacity{25, 0.2}, Staves{}, 34, 0.15}.Content(l) },
			func(n func() float64) (Measured, error) {
				h := Level{Jar: demijohn, Capacity: Capacity{Volume: 25 + spirit.Litres(0.2*n())}}
				h.Height = 34 + Centimetres(0.15*n())
				return h.Content(thrown(n))
			},
		},
	} {
		said := must[Measured](t)(c.said())
		seed := rand.Uint64()
		random := rand.New(rand.NewPCG(seed, 1))
		var volume, mass, alcohol tally
		for range throws {
			m := must[Measured](t)(c.throw(random.NormFloat64))
			volume.add(float64(m.Volume))
			mass.add(float64(m.Amount.Mass()))
			alcohol.add(float64(m.Amount.PureAlcohol()))
		}
		what := fmt.Sprintf("%s (seed %d): ", name, seed)
		near(t, what+"volume", float64(said.VolumeSD), volume.sd(), 0.02*volume.sd())
		near(t, what+"mass", float64(said.MassSD), mass.sd(), 0.02*mass.sd())
		near(t, what+"pure alcohol", float64(said.PureAlcoholSD), alcohol.sd(), 0.02*alcohol.sd())
	}
}

// tally keeps a running mean and spread.
type tally struct{ n, mean, squares float64 }

func (s *tally) add(x float64) {
	s.n++
	d := x - s.mean
	s.mean += d / s.n
	s.squares += d * (x - s.mean)
}

func (s *tally) sd() float64 { return math.Sqrt(s.squares / (s.n - 1)) }

// At the ends of a range the uncertainty must not vanish: a cask full to the
// bung may be short by what the rod is out, pure water may be a little spirit.
func TestUncertaintyAtTheEnds(t *testing.T) {
	full := must[Measured](t)(ByDip(hogshead, Lying, hogshead.Bung, Of(60, 20)))
	if full.VolumeSD < full.Volume*UsualCaskSD {
		t.Errorf("full cask: %v", full.VolumeSD)
	}
	empty := must[Measured](t)(ByDip(hogshead, Standing, 0, Of(60, 20)))
	near(t, "empty cask", float64(empty.VolumeSD), math.Pi*24*24*0.3/1000, 0.01)
	water := must[Measured](t)(ByVolume(10, 20, 0))
	if water.PureAlcoholSD < 0.009 {
		t.Errorf("water: pure alcohol is uncertain by %v L only", water.PureAlcoholSD)
	}
	cold := must[Measured](t)(ByVolume(10, spirit.ColdestLiquid, 50))
	if cold.VolumeSD <= 0 {
		t.Errorf("cold: %v", cold.VolumeSD)
	}
}
