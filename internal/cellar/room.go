package cellar

import (
	"math"
	"strconv"

	"example.org/croze/internal/gauge"
	"example.org/croze/internal/spirit"
)

// checkCapacity refuses a content that the vessel cannot hold.
func checkCapacity(v Vessel, content spirit.Litres) error {
	if content <= v.CapacityL*(1+OverfillFraction)+volumeSlackL {
		return nil
	}
	return refused("volume_l", trimmed(float64(content)), "vessel %s holds %s L (2 %% over is the limit)",
		v.Code, trimmed(float64(v.CapacityL)))
}

// checkRoom refuses more than can be put into a vessel. The books do not know
// how much evaporated since the last full gauge, so the most that it can have
// been is allowed for; and spirit and water together take less room than apart.
func (c *change) checkRoom(code string, more spirit.Amount) error {
	v := c.state.Vessels[code]
	held := c.holder(VesselAccount(code)).Amount
	least := held
	if most := c.mostLost(code); most > 0 {
		least = held.Scale(1 - min(1, float64(most/held.Volume())))
	}
	if least.Add(more).Volume() <= v.CapacityL*(1+OverfillFraction)+volumeSlackL {
		return nil
	}
	if held.IsZero() {
		return checkCapacity(v.Vessel, more.Volume())
	}
	return refused("volume_l", trimmed(float64(more.Volume())), "vessel %s holds %s L and has at least %s L in it (2 %% over is the limit)",
		code, trimmed(float64(v.CapacityL)), trimmed(float64(least.Volume())))
}

// mostLost is the most that can have left a vessel unnoticed between its last
// full gauge and this change. It goes by the most that rested there in that
// time, not by the little that may be left of it by now.
func (c *change) mostLost(code string) spirit.Litres {
	before := c.state.held(VesselAccount(code))
	if before.Amount.IsZero() {
		return 0
	}
	return c.state.Vessels[code].mostLossL(before.rested, max(0, int(c.day-before.gauged)))
}

// mostLossL is the most that can have left a vessel unnoticed, a bad leak
// included, in `days` since it was last gauged: what the wood takes up in its
// first weeks, and a yearly share, both larger in a small vessel, as area over
// volume is. The figures are common practice, on the generous side.
func (v Vessel) mostLossL(held spirit.Litres, days int) spirit.Litres {
	if v.Kind == Tank {
		return held * spirit.Litres(min(1, 0.02*float64(days)/365))
	}
	size := math.Max(1, math.Cbrt(200/float64(v.CapacityL)))
	soaked := 0.05 * size * (1 - math.Exp(-float64(days)/20))
	left := math.Exp(-0.15 * size * float64(days) / 365)
	return held * spirit.Litres(min(1, 1-left*(1-min(1, soaked))))
}

// mostInSound is the most that can have left a sound vessel since its last full
// gauge: about six times the usual loss, and what its wood may have drunk.
// Unlike mostLost it allows for no leak: what is beyond it wants explaining.
func (c *change) mostInSound(code string) spirit.Litres {
	before := c.state.held(VesselAccount(code))
	if before.Amount.IsZero() {
		return 0
	}
	v := c.state.Vessels[code]
	years := float64(max(0, c.day-before.gauged)) / 365
	drunk := 2 * max(0, before.thirstBy(c.day)) // the rule is a rough one
	return before.rested*spirit.Litres(1-math.Exp(-6*usualLossPerYear(v.Vessel)*years)) + drunk
}

// gaugeError is what two gauges of a volume may differ by without any loss:
// two standard uncertainties of their difference.
func gaugeError(v spirit.Litres) spirit.Litres { return 2 * math.Sqrt2 * gauge.UsualVolumeSD(v) }

// trimmed writes a number with at most three decimals.
func trimmed(x float64) string {
	return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64)
}

// usualLossPerYear is the share that a sound vessel loses in a year, by common practice.
func usualLossPerYear(v Vessel) float64 {
	size := math.Max(1, math.Cbrt(200/float64(v.CapacityL)))
	switch v.Kind {
	case Cask:
		return 0.02 * size
	case Hybrid:
		return 0.008 * size
	case Jar:
		return 0.005
	}
	return 0.001
}
