package spirit

// flashPoint is the lowest temperature at which vapour over the liquid lights.
type flashPoint struct {
	percentByMass float64
	at            Celsius
}

// flashPoints, weak to strong, closed cup. The rows to 96 % are of an
// engineering reference (secondary; its own source is not named), the last is
// pure ethanol, 55 °F, of the NIOSH Pocket Guide. They are by mass: read by
// volume they would err on the dangerous side, for 40 % vol is 33 % by mass.
var flashPoints = [...]flashPoint{
	{5, 62}, {10, 49}, {20, 36}, {30, 29}, {40, 26}, {50, 24},
	{60, 22}, {70, 21}, {80, 20}, {90, 17}, {96, 17}, {100, 12.7},
}

// FlashPoint returns a temperature at or below the flash point of spirit of
// strength q, for cautions. It is that of the next stronger row of the table:
// the curve sags between its points, so that a straight line from row to row
// would name too high a temperature. It is false when q is weaker than the
// first row (5 % by mass, 6.3 % vol) or no strength at all.
func FlashPoint(q Strength) (Celsius, bool) {
	p, err := q.MassFraction()
	if err != nil {
		return 0, false
	}
	percent := 100 * float64(p)
	const rounding = 1e-9 // a row's own strength is that row
	if percent < flashPoints[0].percentByMass-rounding {
		return 0, false
	}
	last := len(flashPoints) - 1
	i := 0
	for i < last && percent > flashPoints[i].percentByMass+rounding {
		i++
	}
	return flashPoints[i].at, true
}
