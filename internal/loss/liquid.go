package loss

import (
	"math"

	"example.org/croze/internal/spirit"
)

// Van Laar's constants for ethanol (1) and water (2) near 25 °C, the usual
// handbook fit: ln γ1 = A·(B·x2/(A·x1 + B·x2))², and the same turned round.
const (
	vanLaarA = 1.6798
	vanLaarB = 0.9227
)

// Molar masses, g/mol.
const (
	molarEthanol = 46.068
	molarWater   = 18.015
)

// activities returns the activities of ethanol and of water, 0 to 1, in a
// mixture with mass fraction p of ethanol.
func activities(p float64) (ethanol, water float64) {
	n1, n2 := p/molarEthanol, (1-p)/molarWater
	x1, x2 := n1/(n1+n2), n2/(n1+n2)
	sum := vanLaarA*x1 + vanLaarB*x2
	g1 := vanLaarA * square(vanLaarB*x2/sum)
	g2 := vanLaarB * square(vanLaarA*x1/sum)
	return x1 * math.Exp(g1), x2 * math.Exp(g2)
}

func square(x float64) float64 { return x * x }

// liquid holds what the reckoning needs of a mixture.
type liquid struct {
	ethanol, water float64 // activities, 0 to 1
	bulk           float64 // L/kg at 20 °C
	strength       float64 // % vol at 20 °C
}

// liquids tabulates them over the mass fraction. Between two entries the table
// is straight: its error is below 1e-4 % vol and 1e-7 L/kg.
const liquidSteps = 1024

var liquids = newLiquids()

func newLiquids() *[liquidSteps + 1]liquid {
	var table [liquidSteps + 1]liquid
	for i := range table {
		p := float64(i) / liquidSteps
		// p lies within the range of both formulas, so neither can fail.
		density, _ := spirit.DensityOf(spirit.MassFraction(p), spirit.Reference)
		strength, _ := spirit.MassFraction(p).Strength()
		e, w := activities(p)
		table[i] = liquid{e, w, 1000 / float64(density), float64(strength)}
	}
	return &table
}

// lookUp returns the liquid of mass fraction p (held to 0 to 1) and its slopes by p.
func lookUp(p float64) (at, slope liquid) {
	step := math.Min(liquidSteps-1e-9, math.Max(0, p*liquidSteps))
	if math.IsNaN(step) {
		step = 0
	}
	i := int(step)
	part := step - float64(i)
	a, b := &liquids[i], &liquids[i+1]
	slope = liquid{
		(b.ethanol - a.ethanol) * liquidSteps, (b.water - a.water) * liquidSteps,
		(b.bulk - a.bulk) * liquidSteps, (b.strength - a.strength) * liquidSteps,
	}
	part /= liquidSteps
	at = liquid{
		a.ethanol + part*slope.ethanol, a.water + part*slope.water,
		a.bulk + part*slope.bulk, a.strength + part*slope.strength,
	}
	return at, slope
}

// towardsIdeal moves the activities between Raoult's law (share 0) and van
// Laar's (share 1).
func (l *liquid) towardsIdeal(slope *liquid, p, share float64) {
	bottom := p/molarEthanol + (1-p)/molarWater
	x := p / molarEthanol / bottom
	dx := 1 / (molarEthanol * molarWater * bottom * bottom)
	l.ethanol += (1 - share) * (x - l.ethanol)
	l.water += (1 - share) * (1 - x - l.water)
	slope.ethanol += (1 - share) * (dx - slope.ethanol)
	slope.water += (1 - share) * (-dx - slope.water)
}

// content is a mass of ethanol and of water, kg.
type content struct{ ethanol, water float64 }

// gradient is how a quantity changes with each of the two masses.
type gradient [2]float64

func (c content) mass() float64 { return c.ethanol + c.water }

// volume returns litres at 20 °C and their slopes.
func (c content) volume() (float64, gradient) {
	p := c.ethanol / c.mass()
	at, slope := lookUp(p)
	return c.mass() * at.bulk, gradient{at.bulk + slope.bulk*(1-p), at.bulk - slope.bulk*p}
}

// strength returns % vol and its slopes.
func (c content) strength() (float64, gradient) {
	m := c.mass()
	p := c.ethanol / m
	at, slope := lookUp(p)
	return at.strength, gradient{slope.strength * (1 - p) / m, -slope.strength * p / m}
}

// pureAlcohol returns litres of pure alcohol and their slopes.
func (c content) pureAlcohol() (float64, gradient) {
	perKilogram := 1000 / float64(spirit.EthanolDensity)
	return c.ethanol * perKilogram, gradient{perKilogram, 0}
}

// spread is the covariance (kg²) of a content measured by volume and strength,
// with a relative uncertainty of the volume and one of the strength in % vol.
func (c content) spread(relative, strengthSD float64) [3]float64 {
	m := c.mass()
	p := c.ethanol / m
	at, slope := lookUp(p)
	volume := m * at.bulk
	// At a fixed volume, one more % vol means this much more ethanol and that much less mass.
	ethanol := volume * float64(spirit.EthanolDensity) / 1e5
	mass := -volume * slope.bulk / (at.bulk * at.bulk * slope.strength)
	e, w := ethanol*strengthSD, (mass-ethanol)*strengthSD
	re, rw := c.ethanol*relative, c.water*relative
	return [3]float64{re*re + e*e, re*rw + e*w, rw*rw + w*w}
}
