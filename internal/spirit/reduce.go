package spirit

import "errors"

// Reduction says what a reduction with water takes and gives, volumes at 20 °C.
type Reduction struct {
	Water       Kilograms // mass of water to add
	WaterVolume Litres    // the same at 20 °C
	Volume      Litres    // volume of the result
	Contraction Litres    // spirit plus water less the result
}

var errNothingToReduce = errors.New("volume to reduce is 0 L: give a volume above 0")

// Reduce works out the water that brings a volume (litres at 20 °C, above 0)
// from one strength to a lower one (above 0).
func Reduce(v Litres, from, to Strength) (Reduction, error) {
	if v == 0 {
		return Reduction{}, errNothingToReduce
	}
	a, err := AmountOf(v, from)
	if err != nil {
		return Reduction{}, err
	}
	return a.ReducedTo(to)
}

// ReducedTo works out the water that brings an amount down to a strength above
// 0 and not above its own. An amount is kept in whole milligrams, so its own
// strength is allowed the rounding of one milligram of each liquid.
func (a Amount) ReducedTo(to Strength) (Reduction, error) {
	p, err := to.MassFraction()
	if err != nil || p == 0 {
		return Reduction{}, a.cannotReduceTo(to)
	}
	total := float64(a.Ethanol()) / float64(p)
	water := total - float64(a.Mass())
	rounding := (1 + 1/float64(p)) / milligramsPerKilogram
	if a.IsNegative() || a.IsZero() || water < -rounding {
		return Reduction{}, a.cannotReduceTo(to)
	}
	if water <= 0 {
		return Reduction{Volume: a.Volume()}, nil
	}
	r := Reduction{
		Water:       Kilograms(water),
		WaterVolume: Litres(1000 * water / float64(WaterDensity)),
		Volume:      Litres(1000 * total / isothermReference.density(float64(p))),
	}
	r.Contraction = a.Volume() + r.WaterVolume - r.Volume
	return r, nil
}

func (a Amount) cannotReduceTo(to Strength) error {
	return &RangeError{"strength to reduce to", "% vol", float64(to), 0, float64(a.Strength())}
}
