package cellar

import (
	"math"

	"example.org/croze/internal/spirit"
)

// Indrink is the spirit that soaks into the wood in the first weeks after a
// fill. It is gone from the vessel and still in the store: some of it comes
// back when the vessel is rinsed. A gauge finds one loss and cannot see which
// of it soaked in and which evaporated, so a rule tells them apart. The split
// is common practice and has no source to be cited; its figures are round.
//
// The rule:
//
//   - Wood drinks so many litres for each square metre that touches the spirit,
//     more where it is new. The area is the one registered, or else one by kind
//     that grows with capacity^(2/3), as areas do: so a small vessel drinks more
//     of what it holds.
//   - How thirsty it is at a fill is that, less what is in it of fillings before.
//     While the vessel stands empty the wood dries, and what dries out of it goes
//     to the angels.
//   - It drinks fast at first: of its thirst 1 - exp(-days/20) by a day.
//   - A loss that a gauge or an emptying finds is indrink up to what the wood can
//     have drunk by then, less what was put down to it in this filling already;
//     the rest is evaporation. It soaks in at the strength of what is there, and
//     is never more than the loss, in ethanol or in water.
//
// What is in the wood of a vessel is an account with parts, so that what a
// rinse brings back is of the batches that soaked in. Days in the wood itself
// are not counted: an age can only err on the modest side.
const (
	newWoodDrinks  = 2.0  // L/m²
	usedWoodDrinks = 0.8  // L/m², where it held spirit before, or nobody knows
	drinkDays      = 20.0 // in which its thirst falls by e
	dryDays        = 90.0 // in which what is in the wood of an empty vessel falls by e
)

// woodArea is the area of wood that touches the spirit, m².
func (v Vessel) woodArea() float64 {
	if v.WoodAreaM2 > 0 {
		return v.WoodAreaM2
	}
	size := float64(v.CapacityL)
	switch v.Kind {
	case Cask:
		return 0.055 * math.Pow(size, 2.0/3) // 1.9 m² of a 200 L cask
	case Hybrid:
		return 0.0066 * math.Pow(size, 2.0/3) // one head
	case Jar:
		return 0.011 * size // staves go by what they are to flavour
	}
	return 0
}

// drinks is how much spirit the dry wood of a vessel takes up.
func (v Vessel) drinks() spirit.Litres {
	if v.WoodState == NewWood {
		return spirit.Litres(newWoodDrinks * v.woodArea())
	}
	return spirit.Litres(usedWoodDrinks * v.woodArea())
}

// beginFilling dries the wood for the time that the vessel stood empty, and
// notes how thirsty it is.
func (c *change) beginFilling(code string) {
	v, wood := c.state.Vessels[code], IndrinkAccount(code)
	if days := c.day - v.emptySince(c.day); days > 0 {
		dried := c.holder(wood).Amount.Scale(1 - math.Exp(-float64(days)/dryDays))
		if !dried.IsZero() {
			_ = c.move(wood, Angels, dried) // a share of what is there is there
		}
	}
	h := c.holder(VesselAccount(code))
	h.filledOn, h.drunk = c.day, 0
	h.thirst = max(0, v.drinks()-c.holder(wood).Amount.Volume())
	c.holders[VesselAccount(code)] = h
}

// emptySince is the day on which an empty vessel became so; without a filling
// before, today.
func (v *VesselState) emptySince(today Day) Day {
	since := today
	for i := len(v.Events) - 1; i >= 0 && v.Events[i].Emptied; i-- {
		since = v.Events[i].Entry.Day()
	}
	return since
}

// drink puts down to the wood what the rule lets it have of a loss, and leaves
// the rest of the loss to be posted.
func (c *change) drink(code string, found spirit.Amount) {
	a := VesselAccount(code)
	h := c.holder(a)
	soaked := soakedOf(h.Amount, h.Amount.Sub(found), h.thirstBy(c.day))
	if soaked.IsZero() {
		return
	}
	c.regauge(code, h.Amount.Sub(soaked), IndrinkAccount(code))
	h = c.holder(a)
	h.drunk += soaked.Volume()
	c.holders[a] = h
}

// thirstBy is what the wood can have drunk in this filling by a day, and was
// not put down to it yet.
func (h holder) thirstBy(day Day) spirit.Litres {
	days := float64(max(0, day-h.filledOn))
	return h.thirst*spirit.Litres(1-math.Exp(-days/drinkDays)) - h.drunk
}

// soakedOf is at most so many litres of what was held, and at most the loss in
// each of its masses.
func soakedOf(held, lost spirit.Amount, most spirit.Litres) spirit.Amount {
	volume := held.Volume()
	if most <= 0 || volume <= 0 || lost.EthanolMg <= 0 || lost.WaterMg < 0 {
		return spirit.Amount{}
	}
	share := min(1, float64(most/volume), float64(lost.EthanolMg)/float64(max(1, held.EthanolMg)))
	if held.WaterMg > 0 {
		share = min(share, float64(lost.WaterMg)/float64(held.WaterMg))
	}
	soaked := held.Scale(share)
	return spirit.Amount{EthanolMg: min(soaked.EthanolMg, lost.EthanolMg), WaterMg: min(soaked.WaterMg, lost.WaterMg)}
}
