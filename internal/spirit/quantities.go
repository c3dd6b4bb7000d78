package spirit

// The quantities of the trade, each its own type so that mixing them up does
// not compile. All are plain float64 underneath and carry no uncertainty.
type (
	// Celsius is a temperature in °C.
	Celsius float64
	// Fahrenheit is a temperature in °F.
	Fahrenheit float64
	// Strength is alcohol by volume at 20 °C, in % vol, 0 to 100.
	Strength float64
	// Proof is strength on the US scale: twice the % vol at 60 °F, 0 to 200.
	Proof float64
	// MassFraction is kilograms of ethanol in a kilogram of mixture, 0 to 1.
	MassFraction float64
	// Density is kg/m³ in vacuum (the same figure as g/L).
	Density float64
	// Litres is a volume, at 20 °C unless a temperature is given beside it.
	Litres float64
	// Gallons is a volume in US gallons of 231 cubic inches.
	Gallons float64
	// ProofGallons is US gallons at 60 °F times proof over 100.
	ProofGallons float64
	// Kilograms is a mass (in vacuum), unless it is named as weighed in air.
	Kilograms float64
)

const (
	// LitresPerGallon is exact: 231 cubic inches of 25.4 mm.
	LitresPerGallon = 3.785411784
	// Reference is the temperature of % vol and of litres without a temperature.
	Reference Celsius = 20
	// ProofBase is 60 °F, the temperature of US proof and US gallons.
	ProofBase Celsius = (60.0 - 32) * 5 / 9
)

// Celsius converts from °F.
func (f Fahrenheit) Celsius() Celsius { return Celsius((f - 32) * 5 / 9) }

// Fahrenheit converts from °C.
func (c Celsius) Fahrenheit() Fahrenheit { return Fahrenheit(c*9/5 + 32) }

// Gallons converts litres to US gallons at the same temperature.
func (l Litres) Gallons() Gallons { return Gallons(l / LitresPerGallon) }

// Litres converts US gallons to litres at the same temperature.
func (g Gallons) Litres() Litres { return Litres(g * LitresPerGallon) }
