package gauge

import (
	"math"

	"example.org/croze/internal/spirit"
)

// Method says how a content was measured.
type Method string

// The methods of measuring.
const (
	FromWeight Method = "weight"
	FromVolume Method = "volume" // measured somehow; nothing more is known
	FromDip    Method = "dip"
	FromUllage Method = "ullage"
	FromLevel  Method = "level"
	FromMeter  Method = "meter"
	FromJug    Method = "jug"
)

// Measured is a content found by measuring. The uncertainties are standard
// uncertainties (one standard deviation).
type Measured struct {
	Method        Method           `json:"method"`
	Volume        spirit.Litres    `json:"volume_l"` // at 20 °C
	VolumeSD      spirit.Litres    `json:"volume_sd_l"`
	Strength      spirit.Strength  `json:"strength_pct"` // as it was given
	StrengthSD    spirit.Strength  `json:"strength_sd_pct"`
	Amount        spirit.Amount    `json:"amount"`
	MassSD        spirit.Kilograms `json:"mass_sd_kg"`
	PureAlcoholSD spirit.Litres    `json:"pure_alcohol_sd_l"` // of Amount.PureAlcohol()
}

// Standard uncertainties taken where none is stated: common practice in a
// small store, not from a certificate.
const (
	// UsualStrengthSD is that of a strength found with a good alcoholometer, % vol.
	UsualStrengthSD spirit.Strength = 0.1
	// UsualTemperatureSD is that of the liquid in a vessel, °C: it is seldom
	// the same throughout, so this is wider than a thermometer's own.
	UsualTemperatureSD spirit.Celsius = 0.5
)

// Liquid is what is known of the spirit in the vessel while it is measured.
type Liquid struct {
	Strength   spirit.Strength `json:"strength_pct"` // 0 to 100 % vol
	StrengthSD spirit.Strength `json:"strength_sd_pct"`
	At         spirit.Celsius  `json:"at_c"` // temperature of the liquid, -20 to +40 °C
	AtSD       spirit.Celsius  `json:"at_sd_c"`
}

// Of returns a liquid of strength q at a temperature, with the usual uncertainties.
func Of(q spirit.Strength, at spirit.Celsius) Liquid {
	return Liquid{Strength: q, StrengthSD: UsualStrengthSD, At: at, AtSD: UsualTemperatureSD}
}

// reading is a number read off an instrument, in the instrument's own unit.
type reading struct{ value, sd float64 }

// massOf turns a reading into kilograms of a liquid of density d.
type massOf func(reading float64, d spirit.Density) (spirit.Kilograms, error)

// content holds the three figures that uncertainty is carried to.
type content struct{ volume, mass, alcohol float64 }

// measure works out the content and carries the uncertainty of the reading, of
// the strength and of the temperature to it.
func measure(by Method, r reading, l Liquid, mass massOf) (Measured, error) {
	if err := l.check(); err != nil {
		return Measured{}, err
	}
	amount, err := amountOf(r.value, l.Strength, l.At, mass)
	if err != nil {
		return Measured{}, err
	}
	spread, err := l.spread(r, mass)
	if err != nil {
		return Measured{}, err
	}
	return Measured{
		Method:        by,
		Volume:        amount.Volume(),
		VolumeSD:      spirit.Litres(spread.volume),
		Strength:      l.Strength,
		StrengthSD:    l.StrengthSD,
		Amount:        amount,
		MassSD:        spirit.Kilograms(spread.mass),
		PureAlcoholSD: spirit.Litres(spread.alcohol),
	}, nil
}

// amountOf is the exact calculation, without uncertainty.
func amountOf(r float64, q spirit.Strength, at spirit.Celsius, mass massOf) (spirit.Amount, error) {
	p, err := q.MassFraction()
	if err != nil {
		return spirit.Amount{}, err
	}
	d, err := spirit.DensityOf(p, at)
	if err != nil {
		return spirit.Amount{}, err
	}
	m, err := mass(r, d)
	if err != nil {
		return spirit.Amount{}, err
	}
	return spirit.AmountOfMass(m, p)
}

// spread returns the standard uncertainty of the content.
func (l Liquid) spread(r reading, mass massOf) (content, error) {
	byReading := func(x float64) (spirit.Amount, error) { return amountOf(x, l.Strength, l.At, mass) }
	byStrength := func(x float64) (spirit.Amount, error) {
		return amountOf(r.value, spirit.Strength(x), l.At, mass)
	}
	byTemperature := func(x float64) (spirit.Amount, error) {
		return amountOf(r.value, l.Strength, spirit.Celsius(x), mass)
	}
	var square content
	for _, in := range []struct {
		f         func(float64) (spirit.Amount, error)
		x, sd     float64
		low, high float64
	}{
		{byReading, r.value, r.sd, 0, math.Inf(1)},
		{byStrength, float64(l.Strength), float64(l.StrengthSD), 0, 100},
		{byTemperature, float64(l.At), float64(l.AtSD), float64(spirit.ColdestLiquid), float64(spirit.WarmestLiquid)},
	} {
		d, err := moved(in.f, in.x, in.sd, in.low, in.high)
		if err != nil {
			return content{}, err
		}
		square.volume += d.volume * d.volume
		square.mass += d.mass * d.mass
		square.alcohol += d.alcohol * d.alcohol
	}
	return content{math.Sqrt(square.volume), math.Sqrt(square.mass), math.Sqrt(square.alcohol)}, nil
}

// moved returns what the content does when one input moves by its uncertainty:
// slope times sd, the slope taken across one sd either side, or on one side
// only where the range of the input ends.
func moved(f func(float64) (spirit.Amount, error), x, sd, low, high float64) (content, error) {
	from, to := math.Max(low, x-sd), math.Min(high, x+sd)
	if !(to > from) {
		return content{}, nil
	}
	a, err := f(from)
	if err != nil {
		return content{}, err
	}
	b, err := f(to)
	if err != nil {
		return content{}, err
	}
	k := sd / (to - from)
	return content{
		volume:  k * float64(b.Volume()-a.Volume()),
		mass:    k * float64(b.Mass()-a.Mass()),
		alcohol: k * float64(b.PureAlcohol()-a.PureAlcohol()),
	}, nil
}
