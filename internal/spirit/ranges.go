package spirit

import "fmt"

// RangeError says that a value lies outside what the formulas hold for.
type RangeError struct {
	Quantity  string // what was out of range, in the trade's words
	Unit      string // unit of the three numbers, empty for a bare number
	Value     float64
	Low, High float64
}

// Error names the quantity, the value and the range.
func (e *RangeError) Error() string {
	unit := e.Unit
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s %.6g%s is outside %.6g to %.6g%s",
		e.Quantity, e.Value, unit, e.Low, e.High, unit)
}

// inRange is false for a NaN too.
func inRange(v, low, high float64) bool { return v >= low && v <= high }

func checkMassFraction(p MassFraction) error {
	if inRange(float64(p), 0, 1) {
		return nil
	}
	return &RangeError{"mass fraction of ethanol", "kg/kg", float64(p), 0, 1}
}

func checkTemperature(t Celsius) error {
	if inRange(float64(t), float64(ColdestLiquid), float64(WarmestLiquid)) {
		return nil
	}
	return &RangeError{"temperature", "°C", float64(t), float64(ColdestLiquid), float64(WarmestLiquid)}
}

func checkStrength(q Strength) error {
	if inRange(float64(q), 0, 100) {
		return nil
	}
	return &RangeError{"strength", "% vol", float64(q), 0, 100}
}

func checkProof(q Proof) error {
	if inRange(float64(q), 0, 200) {
		return nil
	}
	return &RangeError{"proof", "°proof", float64(q), 0, 200}
}

func checkVolume(v Litres) error {
	if inRange(float64(v), 0, float64(largestLitres)) {
		return nil
	}
	return &RangeError{"volume", "L", float64(v), 0, float64(largestLitres)}
}
