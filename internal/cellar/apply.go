package cellar

import "example.org/croze/internal/spirit"

func (f *Fill) apply(c *change) error {
	v, err := c.vessel(f.Vessel)
	if err != nil {
		return err
	}
	if v.filled {
		return refused("vessel", f.Vessel, "it is not empty on %s: top it up, or empty it first", c.day)
	}
	if name, ok := f.From.Batch(); ok && c.state.Batches[name] == nil && unnamedFor(f.Vessel, name) {
		c.unnamed = &BatchState{Batch: Batch{Name: name, MadeOn: c.day}, Unnamed: true, posted: true}
	}
	c.event(f.Vessel).Filled = true
	c.beginFilling(f.Vessel)
	if err := c.pour(f.Pour, f.Vessel); err != nil {
		return err
	}
	c.markGauged(f.Vessel)
	return nil
}

func (f *TopUp) apply(c *change) error    { return c.pourIntoFilled(f.Pour) }
func (f *Transfer) apply(c *change) error { return c.pourIntoFilled(f.Pour) }

func (c *change) pourIntoFilled(p Pour) error {
	if _, err := c.filledVessel(p.Vessel); err != nil {
		return err
	}
	return c.pour(p, p.Vessel)
}

// pour moves a measure from a batch or a vessel into a vessel.
func (c *change) pour(p Pour, into string) error {
	if p.From == VesselAccount(into) {
		return refused("from", into, "a vessel cannot be filled from itself")
	}
	if err := c.checkRoom(into, p.Measure.Amount); err != nil {
		return err
	}
	if err := c.cover(p.From, p.Measure.Amount); err != nil {
		return err
	}
	if err := c.move(p.From, VesselAccount(into), p.Measure.Amount); err != nil {
		return err
	}
	if p.Empties {
		return c.leaveNothing(p.From)
	}
	return nil
}

func (f *Sample) apply(c *change) error {
	v, err := c.filledVessel(f.Vessel)
	if err != nil {
		return err
	}
	if err := f.checkFigures(); err != nil {
		return err
	}
	e := c.event(f.Vessel)
	e.Reading, e.Content = f.Reading, f.Content
	if f.Content != nil {
		if err := checkCapacity(v.Vessel, f.Content.VolumeL); err != nil {
			return err
		}
	}
	if f.Content != nil && f.Reading != nil {
		found, err := spirit.AmountOf(f.Content.VolumeL, f.Reading.StrengthPct)
		if err != nil {
			return invalid("strength_pct", f.Reading.StrengthPct, "%v", err)
		}
		if err := c.fullGauge(f.Vessel, found); err != nil {
			return err
		}
	}
	if f.Taken == nil {
		return nil
	}
	return c.take(f.Vessel, Samples, f.Taken.Amount)
}

// checkFigures refuses figures that no estimate could make sense of. A request
// cannot have them; a journal from elsewhere could.
func (f *Sample) checkFigures() error {
	if r := f.Reading; r != nil && !(r.StrengthPct >= 0 && r.StrengthPct <= 100) {
		return invalid("strength_pct", float64(r.StrengthPct), "must be 0 to 100")
	}
	if c := f.Content; c != nil && !(c.VolumeL >= 0 && c.VolumeL <= LargestVolumeL) {
		return invalid("volume_l", float64(c.VolumeL), "must be 0 to %d", LargestVolumeL)
	}
	return nil
}

// take moves an amount from a vessel to an end.
func (c *change) take(code string, to Account, amount spirit.Amount) error {
	a := VesselAccount(code)
	if err := c.cover(a, amount); err != nil {
		return err
	}
	return c.move(a, to, amount)
}

func (f *Draw) apply(c *change) error  { return c.take(f.Vessel, Drawn, f.Measure.Amount) }
func (f *Spill) apply(c *change) error { return c.take(f.Vessel, Spilled, f.Measure.Amount) }

func (f *Reduce) apply(c *change) error {
	if _, err := c.filledVessel(f.Vessel); err != nil {
		return err
	}
	return c.addWater(f.Vessel, f.Water)
}

// addWater puts water into a vessel that has room for it.
func (c *change) addWater(code string, water spirit.Amount) error {
	if water.EthanolMg != 0 {
		return invalid("water", water, "there is alcohol in it: a top-up or a transfer says where that came from")
	}
	if err := checkAmount(water); err != nil {
		return err
	}
	if err := c.checkRoom(code, water); err != nil {
		return err
	}
	return c.move(WaterIn, VesselAccount(code), water)
}

func (f *Blend) apply(c *change) error {
	v, err := c.vessel(f.Into)
	if err != nil {
		return err
	}
	wasEmpty := !v.filled
	c.event(f.Into).Filled = wasEmpty
	if wasEmpty {
		c.beginFilling(f.Into)
	}
	for _, d := range f.Draws {
		if err := c.pour(Pour{Vessel: f.Into, From: d.From, Measure: d.Measure, Empties: d.Empties}, f.Into); err != nil {
			return err
		}
	}
	if !f.Water.IsZero() {
		if err := c.addWater(f.Into, f.Water); err != nil {
			return err
		}
	}
	if wasEmpty {
		c.markGauged(f.Into)
	}
	return nil
}

func (f *Bottle) apply(c *change) error {
	if c.state.Lots[f.Lot] != nil {
		return refused("lot", f.Lot, "a bottling has this lot code already")
	}
	a := VesselAccount(f.Vessel)
	if err := c.cover(a, f.Measure.Amount); err != nil {
		return err
	}
	if err := c.move(a, LotAccount(f.Lot), f.Measure.Amount); err != nil {
		return err
	}
	youngest := agesOf(c.holder(LotAccount(f.Lot)).Parts, c.day).Youngest
	c.lot = &Lot{
		Name: f.Lot, Vessel: f.Vessel, At: c.entry.HappenedAt,
		Bottles: f.Bottles, LabelPct: f.LabelPct, Youngest: youngest,
	}
	if f.Empties {
		c.empty(f.Vessel, Handling)
	}
	return nil
}

func (f *Empty) apply(c *change) error {
	if _, err := c.filledVessel(f.Vessel); err != nil {
		return err
	}
	if f.Measure != nil {
		if err := c.take(f.Vessel, Drawn, f.Measure.Amount); err != nil {
			return err
		}
	}
	c.empty(f.Vessel, Unexplained)
	return nil
}

func (f *Move) apply(c *change) error {
	if _, err := c.vessel(f.Vessel); err != nil {
		return err
	}
	if _, ok := c.state.Places[f.Place]; !ok {
		return notFound("place", f.Place, "no such place is registered")
	}
	c.event(f.Vessel)
	if err := f.Spot.check(); err != nil {
		return err
	}
	c.moved, c.place, c.spot = f.Vessel, f.Place, f.Spot
	return nil
}

func (f *Note) apply(c *change) error {
	if code, ok := f.About.Vessel(); ok {
		if _, err := c.vessel(code); err != nil {
			return err
		}
		c.event(code)
	}
	c.remark = &Remark{Entry: c.entry, About: f.About, Text: f.Note}
	return nil
}
