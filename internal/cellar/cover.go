package cellar

import (
	"fmt"
	"slices"
	"strings"

	"example.org/croze/internal/spirit"
)

// cover makes sure that an account has what is about to leave it, or refuses.
// Readings err a little, so a small shortage is made good from where it must
// have come: a vessel from the angels (the last gauge was low), a batch from
// water (it was reduced before filling) or from its making.
func (c *change) cover(from Account, wanted spirit.Amount) error {
	if err := checkAmount(wanted); err != nil {
		return err
	}
	if wanted.IsZero() {
		return invalid("volume_l", nil, "too little to write down: the books go by the milligram")
	}
	if name, ok := from.Batch(); ok {
		return c.coverBatch(name, wanted)
	}
	code, ok := from.Vessel()
	if !ok {
		return refused("from", from, "liquid cannot be taken from it")
	}
	if _, err := c.filledVessel(code); err != nil {
		return err
	}
	h := c.holder(from)
	if err := enough(code, h.Amount, wanted); err != nil {
		return err
	}
	if short := shortage(h.Amount, wanted); !short.IsZero() {
		c.regauge(code, h.Amount.Add(short), Angels)
	}
	return nil
}

// checkAmount refuses an amount that cannot have been moved: below nothing, or
// so large that sums could run over.
func checkAmount(a spirit.Amount) error {
	const most = LargestMassKg * 1_000_000
	if a.IsNegative() || a.EthanolMg > most || a.WaterMg > most || a.EthanolMg+a.WaterMg > most {
		return invalid("amount", fmt.Sprintf("%d mg ethanol and %d mg water", a.EthanolMg, a.WaterMg),
			"must be 0 to %d kg", LargestMassKg)
	}
	return nil
}

// enough refuses more than there is, in volume or in alcohol.
func enough(name string, has, wanted spirit.Amount) error {
	if v := wanted.Volume(); v > has.Volume()*(1+volumeSlackFraction)+volumeSlackL {
		return refused("volume_l", trimmed(float64(v)), "%s holds only %v by the books", name, has)
	}
	if float64(wanted.EthanolMg) > float64(has.EthanolMg)*(1+ethanolSlackFraction)+1 {
		return refused("volume_l", trimmed(float64(wanted.Volume())), "that is %.2f L of pure alcohol, and %s holds only %.2f L by the books",
			float64(wanted.PureAlcohol()), name, float64(has.PureAlcohol()))
	}
	return nil
}

func shortage(has, wanted spirit.Amount) spirit.Amount {
	return spirit.Amount{
		EthanolMg: max(0, wanted.EthanolMg-has.EthanolMg),
		WaterMg:   max(0, wanted.WaterMg-has.WaterMg),
	}
}

func (c *change) coverBatch(name string, wanted spirit.Amount) error {
	b, err := c.batch(name)
	if err != nil {
		return err
	}
	if b.MadeOn > c.day {
		return refused("from", name, "it was made on %s, after this", b.MadeOn)
	}
	if err := c.postMade(name); err != nil {
		return err
	}
	a := BatchAccount(name)
	has := c.holder(a).Amount
	short := shortage(has, wanted)
	if b.Made.IsZero() { // not stated: as much as was filled
		return c.topFrom(Made, a, short)
	}
	if float64(short.EthanolMg) > float64(has.EthanolMg)*ethanolSlackFraction+1 {
		return refused("volume_l", trimmed(float64(wanted.Volume())), "that is %.2f L of pure alcohol, and batch %s has only %.2f L left",
			float64(wanted.PureAlcohol()), name, float64(has.PureAlcohol()))
	}
	if err := c.topFrom(Made, a, spirit.Amount{EthanolMg: short.EthanolMg}); err != nil {
		return err
	}
	return c.topFrom(WaterIn, a, spirit.Amount{WaterMg: short.WaterMg})
}

func (c *change) topFrom(from, to Account, amount spirit.Amount) error {
	if amount.IsZero() {
		return nil
	}
	return c.move(from, to, amount)
}

// unnamedBatch is the name under which a fill without a batch opens one.
func unnamedBatch(vessel string, day Day) string { return vessel + " " + day.String() }

// unnamedFor says whether a fill of a vessel may open a batch of a name. Any
// other name must be registered, or taking a batch back would turn what was
// filled from it into spirit of nobody's making.
func unnamedFor(vessel, name string) bool {
	day, ok := strings.CutPrefix(name, vessel+" ")
	_, err := ParseDay(day)
	return ok && err == nil
}

// batch finds a batch, one that this change opens included.
func (c *change) batch(name string) (*BatchState, error) {
	if c.unnamed != nil && c.unnamed.Name == name {
		return c.unnamed, nil
	}
	if b, ok := c.state.Batches[name]; ok {
		return b, nil
	}
	return nil, notFound("from", name, "no such batch is registered")
}

// postMade posts what a batch gave, once: left-overs come from where they
// were, and the rest is new.
func (c *change) postMade(name string) error {
	b, err := c.batch(name)
	if err != nil || b.posted || slices.Contains(c.posted, name) {
		return err
	}
	c.posted = append(c.posted, name)
	a := BatchAccount(name)
	fresh := b.Made
	for _, carry := range b.CarriedIn {
		if err := c.cover(carry.From, carry.Amount); err != nil {
			return err
		}
		if err := c.move(carry.From, a, carry.Amount); err != nil {
			return err
		}
		if carry.Empties {
			if err := c.leaveNothing(carry.From); err != nil {
				return err
			}
		}
		fresh = fresh.Sub(carry.Amount)
	}
	if b.Made.IsZero() {
		return nil
	}
	if fresh.EthanolMg < 0 {
		return refused("volume_l", b.Made, "the left-overs carried into batch %s hold more alcohol than it gave", name)
	}
	return c.topFrom(Made, a, fresh)
}
