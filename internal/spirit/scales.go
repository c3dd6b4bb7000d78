package spirit

import "math"

// scale is a strength by volume defined at one temperature, in parts of 1.
type scale struct {
	at      *isotherm
	ethanol float64      // density of pure ethanol at that temperature, kg/m³
	inverse [257]float64 // mass fraction at equal steps of strength, to start Newton from
}

var (
	scaleReference = newScale(&isothermReference)
	scaleProofBase = newScale(&isothermProofBase)
)

func newScale(at *isotherm) *scale {
	s := &scale{at: at, ethanol: at.density(1)}
	last := len(s.inverse) - 1
	for i := 1; i < last; i++ {
		s.inverse[i] = s.solve(float64(i)/float64(last), s.inverse[i-1])
	}
	s.inverse[last] = 1
	return s
}

// byVolume is the strength, 0 to 1, of mass fraction p.
func (s *scale) byVolume(p float64) float64 { return p * s.at.density(p) / s.ethanol }

// massFraction is the inverse of byVolume.
func (s *scale) massFraction(strength float64) float64 {
	if strength >= 1 {
		return 1
	}
	step := strength * float64(len(s.inverse)-1)
	i := int(step)
	start := s.inverse[i] + (step-float64(i))*(s.inverse[i+1]-s.inverse[i])
	return s.solve(strength, start)
}

func (s *scale) solve(strength, start float64) float64 {
	return s.at.solveByVolume(strength*s.ethanol, start)
}

// solveByVolume finds p with p·density(p) = ethanol, the kilograms of ethanol
// in a cubic metre, by Newton's method; they rise strictly with p, so it settles.
func (poly *isotherm) solveByVolume(ethanol, start float64) float64 {
	p := start
	for range 40 {
		rho, slope := poly.densityAndSlope(p)
		next := p - (p*rho-ethanol)/(rho+p*slope)
		next = math.Min(1, math.Max(0, next))
		if math.Abs(next-p) < massFractionTolerance {
			return next
		}
		p = next
	}
	return p
}

// MassFraction returns the mass fraction of a strength of 0 to 100 % vol.
func (q Strength) MassFraction() (MassFraction, error) {
	if err := checkStrength(q); err != nil {
		return 0, err
	}
	return MassFraction(scaleReference.massFraction(float64(q) / 100)), nil
}

// MassFraction returns the mass fraction of a US proof of 0 to 200.
func (q Proof) MassFraction() (MassFraction, error) {
	if err := checkProof(q); err != nil {
		return 0, err
	}
	return MassFraction(scaleProofBase.massFraction(float64(q) / 200)), nil
}

// Strength returns the % vol at 20 °C of a mass fraction of 0 to 1.
func (p MassFraction) Strength() (Strength, error) {
	if err := checkMassFraction(p); err != nil {
		return 0, err
	}
	return Strength(100 * scaleReference.byVolume(float64(p))), nil
}

// Proof returns the US proof at 60 °F of a mass fraction of 0 to 1.
func (p MassFraction) Proof() (Proof, error) {
	if err := checkMassFraction(p); err != nil {
		return 0, err
	}
	return Proof(200 * scaleProofBase.byVolume(float64(p))), nil
}

// Proof returns the US proof at 60 °F of a strength of 0 to 100 % vol at 20 °C.
func (q Strength) Proof() (Proof, error) {
	p, err := q.MassFraction()
	if err != nil {
		return 0, err
	}
	return p.Proof()
}

// Strength returns the % vol at 20 °C of a US proof of 0 to 200.
func (q Proof) Strength() (Strength, error) {
	p, err := q.MassFraction()
	if err != nil {
		return 0, err
	}
	return p.Strength()
}

// Density returns the density at 20 °C of a strength of 0 to 100 % vol.
func (q Strength) Density() (Density, error) { return q.DensityAt(Reference) }

// DensityAt returns the density at t (-20 to +40 °C) of spirit that is q % vol at 20 °C.
func (q Strength) DensityAt(t Celsius) (Density, error) {
	p, err := q.MassFraction()
	if err != nil {
		return 0, err
	}
	return DensityOf(p, t)
}

// EthanolDensity and WaterDensity are the densities of the pure liquids at 20 °C, kg/m³.
var (
	EthanolDensity = Density(isothermReference.density(1))
	WaterDensity   = Density(isothermReference.density(0))
)
