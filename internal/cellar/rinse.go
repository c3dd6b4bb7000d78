package cellar

import "example.org/croze/internal/spirit"

// Rinse says that an empty vessel was rinsed with water, and what came out: the
// rinsing water with spirit that had soaked into the wood.
type Rinse struct {
	Vessel  string  `json:"vessel"`
	Into    Account `json:"into"`    // a vessel, or Drawn
	Measure Measure `json:"measure"` // all that came out, water and spirit together
	Note    string  `json:"note,omitempty"`
}

// Kind is "rinse".
func (*Rinse) Kind() string { return "rinse" }

// Subjects names the vessel rinsed, and the one that took what came out.
func (f *Rinse) Subjects() []Account {
	if _, ok := f.Into.Vessel(); ok {
		return []Account{VesselAccount(f.Vessel), f.Into}
	}
	return []Account{VesselAccount(f.Vessel)}
}

func (f *Rinse) apply(c *change) error {
	v, err := c.vessel(f.Vessel)
	if err != nil {
		return err
	}
	if v.filled {
		return refused("vessel", f.Vessel, "it is not empty on %s: empty it before it is rinsed", c.day)
	}
	if err := checkAmount(f.Measure.Amount); err != nil {
		return err
	}
	c.event(f.Vessel)
	fresh, err := c.openForRinse(f)
	if err != nil {
		return err
	}
	soaked, err := c.recover(v, f.Measure.Amount)
	if err != nil {
		return err
	}
	if err := c.move(IndrinkAccount(f.Vessel), f.Into, soaked); err != nil {
		return err
	}
	if err := c.topFrom(WaterIn, f.Into, f.Measure.Amount.Sub(soaked)); err != nil {
		return err
	}
	if code, ok := f.Into.Vessel(); ok && fresh {
		c.markGauged(code)
	}
	return nil
}

// openForRinse holds what a rinse runs into to its room, and says whether a new
// filling begins there.
func (c *change) openForRinse(f *Rinse) (fresh bool, err error) {
	code, ok := f.Into.Vessel()
	switch {
	case f.Into == Drawn:
		return false, nil
	case !ok:
		return false, refused("into", f.Into, "a rinse goes into a vessel, or is drawn")
	case code == f.Vessel:
		return false, refused("into", code, "a vessel cannot be rinsed into itself")
	}
	v, err := c.vessel(code)
	if err != nil {
		return false, err
	}
	if err := c.checkRoom(code, f.Measure.Amount); err != nil {
		return false, err
	}
	if !v.filled {
		c.event(code).Filled = true
		c.beginFilling(code)
	}
	return !v.filled, nil
}

// recover says what of a rinse came out of the wood: all its ethanol, and the
// water that had soaked in with it. The rule that tells indrink from evaporation
// may have put too little down to the wood; what is short comes back from the
// angels, as far as the wood can have held it.
func (c *change) recover(v *VesselState, out spirit.Amount) (spirit.Amount, error) {
	a := IndrinkAccount(v.Code)
	h := c.holder(a)
	if out.EthanolMg == 0 {
		return spirit.Amount{}, invalid("strength_pct", 0, "there is no alcohol in it: water alone need not be written down")
	}
	if h.Amount.EthanolMg == 0 {
		return spirit.Amount{}, refused("vessel", v.Code, "the books have nothing in its wood: a gauge, or emptying it, says what soaked in")
	}
	most := h.Amount.Scale(max(1+ethanolSlackFraction, float64(v.drinks()/h.Amount.Volume())))
	if out.EthanolMg > most.EthanolMg {
		return spirit.Amount{}, refused("volume_l", trimmed(float64(out.Volume())), "that is %.3f L of pure alcohol, and the wood of %s can have held only %.3f L",
			float64(out.PureAlcohol()), v.Code, float64(most.PureAlcohol()))
	}
	if out.EthanolMg > h.Amount.EthanolMg {
		c.findInWood(a, h, h.Amount.Scale(float64(out.EthanolMg)/float64(h.Amount.EthanolMg)), out.EthanolMg)
		h = c.holder(a)
	}
	with := h.Amount.Scale(float64(out.EthanolMg) / float64(h.Amount.EthanolMg))
	return spirit.Amount{EthanolMg: out.EthanolMg, WaterMg: min(with.WaterMg, out.WaterMg, h.Amount.WaterMg)}, nil
}

// findInWood takes back from the angels what proves to have been in the wood.
func (c *change) findInWood(a Account, h holder, more spirit.Amount, ethanol int64) {
	more.EthanolMg = ethanol
	left, lost := h.regauged(more)
	difference := h.Amount.Sub(more)
	h.Contents = left
	c.holders[a] = h
	c.record(a, Angels, Contents{difference, lost})
}

// rinse works out a rinse from what was measured of what came out.
func (w *resolution) rinse() (Fact, error) {
	if err := w.needVessel(); err != nil {
		return nil, err
	}
	if w.VolumeL == nil {
		return nil, invalid("volume_l", nil, "say how much came out")
	}
	m, err := w.moved("volume_l", *w.VolumeL, IndrinkAccount(w.vessel.Code))
	if err != nil {
		return nil, err
	}
	into := Drawn
	if w.Into != "" {
		target, ok := w.State.FindVessel(w.Into)
		if !ok {
			return nil, notFound("into", w.Into, "no such vessel is registered")
		}
		into = VesselAccount(target.Code)
	}
	return &Rinse{Vessel: w.vessel.Code, Into: into, Measure: m, Note: w.Note}, nil
}
