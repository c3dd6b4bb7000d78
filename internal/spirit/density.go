package spirit

import "math"

// ColdestLiquid and WarmestLiquid bound the temperatures of the density formula.
const (
	ColdestLiquid Celsius = -20
	WarmestLiquid Celsius = 40
)

// r22 holds the 54 coefficients of the general formula of OIML R 22 (1975),
// arranged by power of the mass fraction (row) and of the temperature above
// 20 °C (column): A1 and B1…B6 in the first row, A(k+1) and C(1,k)…C(5,k) after it.
var r22 = [12][7]float64{
	{998.20123, -0.20618513, -0.0052682542, 3.6130013e-05, -3.8957702e-07, 7.169354e-09, -9.9739231e-11},
	{-192.9769495, 0.1693443461530087, -0.0119301300505701, -0.0006802995733503803, 4.075376675622027e-06, -2.788074354782409e-08, 0},
	{389.1238958, -10.46914743455169, 0.2517399633803461, 0.01876837790289664, -8.76305857347111e-06, 1.345612883493354e-08, 0},
	{-1668.103923, 71.96353469546523, -2.170575700536993, -0.2002561813734156, 6.515031360099368e-06, 0, 0},
	{13522.15441, -704.7478054272792, 13.53034988843029, 1.02299296671922, -1.51578483698721e-06, 0, 0},
	{-88292.78388, 3924.090430035045, -50.29988758547014, -2.895696483903638, 0, 0, 0},
	{306287.4042, -12101.64659068747, 109.635566657757, 4.810060584300675, 0, 0, 0},
	{-613838.1234, 22486.46550400788, -142.2753946421155, -4.672147440794683, 0, 0, 0},
	{747017.2998, -26055.62982188164, 108.043594285623, 2.458043105903461, 0, 0, 0},
	{-547846.1354, 18523.73922069467, -44.14153236817392, -0.5411227621436812, 0, 0, 0},
	{223446.0334, -7420.201433430137, 7.442971530188783, 0, 0, 0, 0},
	{-39032.85426, 1285.617841998974, 0, 0, 0, 0, 0},
}

// isotherm holds the density formula at one temperature: a polynomial in the mass fraction.
type isotherm [12]float64

// atTemperature works out the isotherm; t is taken as checked.
func atTemperature(t Celsius) isotherm {
	var poly isotherm
	d := float64(t - Reference)
	c := &r22[0]
	poly[0] = c[0] + d*(c[1]+d*(c[2]+d*(c[3]+d*(c[4]+d*(c[5]+d*c[6])))))
	for k := 1; k < len(r22); k++ {
		c := &r22[k]
		poly[k] = c[0] + d*(c[1]+d*(c[2]+d*(c[3]+d*(c[4]+d*c[5]))))
	}
	return poly
}

// density evaluates the isotherm at mass fraction p.
func (poly *isotherm) density(p float64) float64 {
	sum := poly[11]
	for k := 10; k >= 0; k-- {
		sum = sum*p + poly[k]
	}
	return sum
}

// densityAndSlope also returns dρ/dp.
func (poly *isotherm) densityAndSlope(p float64) (density, slope float64) {
	density = poly[11]
	for k := 10; k >= 0; k-- {
		slope = slope*p + density
		density = density*p + poly[k]
	}
	return density, slope
}

// The two isotherms that the scales are defined on.
var (
	isothermReference = atTemperature(Reference)
	isothermProofBase = atTemperature(ProofBase)
)

// DensityOf returns the density in vacuum of a mixture with mass fraction p
// (0 to 1) at temperature t (-20 to +40 °C), by the general formula of OIML R 22.
func DensityOf(p MassFraction, t Celsius) (Density, error) {
	if err := checkMassFraction(p); err != nil {
		return 0, err
	}
	if err := checkTemperature(t); err != nil {
		return 0, err
	}
	poly := atTemperature(t)
	return Density(poly.density(float64(p))), nil
}

// massFractionTolerance is how close the inverses come, in kg/kg.
const massFractionTolerance = 1e-12

// MassFractionOf is the inverse of DensityOf: the mass fraction that has the
// density d at temperature t. A density that no mixture has at t is a RangeError.
func MassFractionOf(d Density, t Celsius) (MassFraction, error) {
	if err := checkTemperature(t); err != nil {
		return 0, err
	}
	poly := atTemperature(t)
	heavy, light := poly.density(0), poly.density(1)
	if !inRange(float64(d), light, heavy) {
		// Rounding in the last digits must not refuse pure water or pure ethanol.
		switch slack := 1e-9 * heavy; {
		case inRange(float64(d), heavy, heavy+slack):
			return 0, nil
		case inRange(float64(d), light-slack, light):
			return 1, nil
		}
		return 0, &RangeError{"density", "kg/m³", float64(d), light, heavy}
	}
	return MassFraction(poly.solve(float64(d), startFor(float64(d), heavy, light))), nil
}

// startFor guesses the mass fraction from how far the density has fallen from
// water's to ethanol's. The curve is close to straight on this scale, a little
// flatter at first.
func startFor(d, heavy, light float64) float64 {
	fallen := (heavy - d) / (heavy - light)
	return fallen * (1.35 - 0.35*fallen)
}

// solve finds p with density(p) = d by Newton's method, kept inside a bracket
// that shrinks, so that it cannot run away where the curve is flat.
func (poly *isotherm) solve(d, start float64) float64 {
	low, high := 0.0, 1.0
	p := start
	for range 60 {
		rho, slope := poly.densityAndSlope(p)
		if rho > d {
			low = p
		} else {
			high = p
		}
		next := p - (rho-d)/slope
		if !(next >= low && next <= high) {
			next = (low + high) / 2
		}
		if math.Abs(next-p) < massFractionTolerance {
			return next
		}
		p = next
	}
	return p
}
