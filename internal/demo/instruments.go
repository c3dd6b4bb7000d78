package demo

import (
	"math"
	"math/rand/v2"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// bench is the stillhouse's instruments, errors and all. Standard errors are
// what such instruments have in careful but human hands.
type bench struct{ lots *rand.Rand }

func (b bench) off(sd float64) float64 { return sd * b.lots.NormFloat64() }

// rounded reads a scale with marks `step` apart.
func rounded(x, step float64) float64 {
	perUnit := math.Round(1 / step) // dividing by a whole number leaves no stray last digits
	return math.Round(x*perUnit) / perUnit
}

// strength is a strength corrected by hand, % vol at 20 °C.
func (b bench) strength(l liquid) float64 { return rounded(l.strength()+b.off(0.12), 0.1) }

// thermometer reads the liquid, which is about as warm as the room.
func (b bench) thermometer(a air) (truth, read float64) {
	truth = a.tempC + b.off(0.5)
	return truth, rounded(truth+b.off(0.15), 0.5)
}

// The house's two glass instruments.
var (
	alcoholometer   = spirit.Hydrometer{Scale: spirit.ScaleStrength, Base: spirit.Reference}
	proofHydrometer = spirit.Hydrometer{Scale: spirit.ScaleProof, Base: spirit.ProofBase}
)

// float is what the stem shows at a temperature. Solids in g/100 mL hide about
// four degrees of proof, or two of % vol, for each gram.
func (b bench) float(h spirit.Hydrometer, l liquid, tempC, residue float64) (float64, error) {
	sd, step, hides := 0.1, 0.1, 2.0
	if h.Scale == spirit.ScaleProof {
		sd, step, hides = 0.2, 0.2, 4.0
	}
	shown, err := h.Reading(l.amount().MassFraction(), spirit.Celsius(tempC))
	return rounded(shown-hides*residue+b.off(sd), step), err
}

// balance weighs the vessel, kg. Its tare was taken with the wood soaked.
func (b bench) balance(v *vessel) (float64, error) {
	a := v.in.amount()
	d, err := a.Strength().Density()
	if err != nil {
		return 0, err
	}
	liquid, err := spirit.WeighedOfMass(a.Mass(), d)
	if err != nil {
		return 0, err
	}
	gross := float64(v.TareKg+liquid) + v.soaked - v.soakMost
	step := 0.02
	if gross > 60 {
		step = 0.1
	}
	return rounded(gross+b.off(math.Hypot(0.02, 0.0004*gross)), step), nil
}

// dipRod reads a volume, L, at the temperature of the liquid.
func (b bench) dipRod(v *vessel, tempC float64) (float64, error) {
	volume, err := v.in.amount().VolumeAt(spirit.Celsius(tempC))
	step, share := 0.1, 0.006
	if v.CapacityL <= 20 || v.Kind == cellar.Jar || v.Kind == cellar.Tank {
		step, share = 0.05, 0.004
	}
	return rounded(float64(volume)*(1+b.off(share)), step), err
}

// measure is a can or a meter for what is moved, L at 20 °C.
func (b bench) measure(litres float64) float64 {
	step := 0.1
	if litres < 10 {
		step = 0.01
	}
	return max(step, rounded(litres*(1+b.off(0.003)), step))
}
