package spirit

import (
	"fmt"
	"math"
)

// Amount is a quantity of liquid as the books keep it: a mass of ethanol and a
// mass of water, each in whole milligrams. Amounts add exactly. The zero value
// is nothing. A negative Amount is a difference and has no volume.
type Amount struct {
	EthanolMg int64 `json:"ethanol_mg"`
	WaterMg   int64 `json:"water_mg"`
}

const milligramsPerKilogram = 1e6

// These keep sums of amounts far from the end of an int64.
const (
	largestKilograms Kilograms = 1e9
	largestLitres    Litres    = 1e9
)

// AmountOf returns what is in a volume (litres at 20 °C, 0 to 1e9) of a strength (0 to 100 % vol).
func AmountOf(v Litres, q Strength) (Amount, error) { return AmountAt(v, Reference, q) }

// AmountAt returns what is in a volume (0 to 1e9 L) measured at temperature t
// (-20 to +40 °C) of spirit whose strength at 20 °C is q.
func AmountAt(v Litres, t Celsius, q Strength) (Amount, error) {
	if err := checkVolume(v); err != nil {
		return Amount{}, err
	}
	p, err := q.MassFraction()
	if err != nil {
		return Amount{}, err
	}
	d, err := DensityOf(p, t)
	if err != nil {
		return Amount{}, err
	}
	return AmountOfMass(Kilograms(float64(v)*float64(d)/1000), p)
}

// AmountOfMass returns what is in a mass (0 to 1e9 kg) of mass fraction p (0 to 1).
func AmountOfMass(m Kilograms, p MassFraction) (Amount, error) {
	if err := checkMassFraction(p); err != nil {
		return Amount{}, err
	}
	if !inRange(float64(m), 0, float64(largestKilograms)) {
		return Amount{}, &RangeError{"mass", "kg", float64(m), 0, float64(largestKilograms)}
	}
	total := math.Round(float64(m) * milligramsPerKilogram)
	ethanol := math.Round(float64(m) * float64(p) * milligramsPerKilogram)
	return Amount{int64(ethanol), int64(total - ethanol)}, nil
}

// Water returns a mass of pure water (0 to 1e9 kg).
func Water(m Kilograms) (Amount, error) { return AmountOfMass(m, 0) }

// Add returns a + b.
func (a Amount) Add(b Amount) Amount {
	return Amount{a.EthanolMg + b.EthanolMg, a.WaterMg + b.WaterMg}
}

// Sub returns a - b.
func (a Amount) Sub(b Amount) Amount {
	return Amount{a.EthanolMg - b.EthanolMg, a.WaterMg - b.WaterMg}
}

// Neg returns -a.
func (a Amount) Neg() Amount { return Amount{-a.EthanolMg, -a.WaterMg} }

// IsZero says whether there is nothing.
func (a Amount) IsZero() bool { return a == Amount{} }

// IsNegative says whether either mass is below nothing.
func (a Amount) IsNegative() bool { return a.EthanolMg < 0 || a.WaterMg < 0 }

// Scale returns the fraction f of a, each mass rounded to the milligram.
func (a Amount) Scale(f float64) Amount {
	return Amount{
		int64(math.Round(float64(a.EthanolMg) * f)),
		int64(math.Round(float64(a.WaterMg) * f)),
	}
}

// Mass returns the mass in vacuum.
func (a Amount) Mass() Kilograms {
	return Kilograms(float64(a.EthanolMg+a.WaterMg) / milligramsPerKilogram)
}

// Ethanol returns the mass of ethanol.
func (a Amount) Ethanol() Kilograms { return Kilograms(float64(a.EthanolMg) / milligramsPerKilogram) }

// Water returns the mass of water.
func (a Amount) Water() Kilograms { return Kilograms(float64(a.WaterMg) / milligramsPerKilogram) }

// MassFraction returns ethanol over the whole, held to 0 to 1; nothing has 0.
func (a Amount) MassFraction() MassFraction {
	total := a.EthanolMg + a.WaterMg
	if total <= 0 {
		return 0
	}
	return MassFraction(math.Min(1, math.Max(0, float64(a.EthanolMg)/float64(total))))
}

// Strength returns the % vol at 20 °C; nothing has 0.
func (a Amount) Strength() Strength {
	return Strength(100 * scaleReference.byVolume(float64(a.MassFraction())))
}

// Proof returns the US proof at 60 °F; nothing has 0.
func (a Amount) Proof() Proof {
	return Proof(200 * scaleProofBase.byVolume(float64(a.MassFraction())))
}

// Volume returns the volume at 20 °C.
func (a Amount) Volume() Litres {
	return Litres(1000 * float64(a.Mass()) / isothermReference.density(float64(a.MassFraction())))
}

// VolumeAt returns the volume at temperature t (-20 to +40 °C).
func (a Amount) VolumeAt(t Celsius) (Litres, error) {
	d, err := DensityOf(a.MassFraction(), t)
	if err != nil {
		return 0, err
	}
	return Litres(1000 * float64(a.Mass()) / float64(d)), nil
}

// PureAlcohol returns litres of pure alcohol at 20 °C. It is linear in the
// ethanol, so it holds for differences as well.
func (a Amount) PureAlcohol() Litres {
	return Litres(1000 * float64(a.Ethanol()) / float64(EthanolDensity))
}

// ProofGallons returns US proof gallons: linear in the ethanol, as PureAlcohol is.
func (a Amount) ProofGallons() ProofGallons {
	litresAt60F := 1000 * float64(a.Ethanol()) / scaleProofBase.ethanol
	return ProofGallons(2 * litresAt60F / LitresPerGallon)
}

// String shows volume and strength, for messages and logs.
func (a Amount) String() string {
	if a.IsNegative() {
		return fmt.Sprintf("%+.3f kg ethanol and %+.3f kg water", float64(a.Ethanol()), float64(a.Water()))
	}
	return fmt.Sprintf("%.2f L at %.1f %% vol", float64(a.Volume()), float64(a.Strength()))
}
