package gauge

import (
	"math"

	"example.org/croze/internal/spirit"
)

// between returns a RangeError that names the quantity unless low <= v <= high.
func between(quantity, unit string, v, low, high float64) error {
	if v >= low && v <= high {
		return nil
	}
	return &spirit.RangeError{Quantity: quantity, Unit: unit, Value: v, Low: low, High: high}
}

// check refuses what the density formula does not hold for, and uncertainties
// that are none: below zero, or wider than the range of what they belong to.
func (l Liquid) check() error {
	for _, err := range []error{
		between("strength", "% vol", float64(l.Strength), 0, 100),
		between("standard uncertainty of the strength", "% vol", float64(l.StrengthSD), 0, 50),
		between("temperature of the liquid", "°C", float64(l.At), float64(spirit.ColdestLiquid), float64(spirit.WarmestLiquid)),
		between("standard uncertainty of the temperature", "°C", float64(l.AtSD), 0, 30),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// checkSD refuses an uncertainty that is negative or not a finite number.
func checkSD(of, unit string, sd float64) error {
	return between("standard uncertainty of "+of, unit, sd, 0, math.MaxFloat64)
}
