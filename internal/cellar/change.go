package cellar

import (
	"example.org/croze/internal/spirit"
)

// change collects what one entry does, so that it happens wholly or not at all.
type change struct {
	state     *State
	entry     Entry
	day       Day
	holders   map[Account]holder
	movements []Movement
	events    map[string]*Event // by vessel
	order     []string          // of the vessels, as touched
	moved     string            // the vessel that was carried
	place     string            // to there
	spot      Spot
	posted    []string // batches whose making is posted now
	unnamed   *BatchState
	lot       *Lot
	remark    *Remark
	closing   *Closing
	limit     *Limit
	explained *Explanation
	beside    func(*State) // what it says that moves nothing: rounds, aims
}

func newChange(s *State, e Entry) *change {
	return &change{
		state: s, entry: e, day: e.Day(),
		holders: make(map[Account]holder),
		events:  make(map[string]*Event),
	}
}

// vessel finds a registered vessel.
func (c *change) vessel(code string) (*VesselState, error) {
	v, ok := c.state.Vessels[code]
	if !ok {
		return nil, notFound("vessel", code, "no such vessel is registered")
	}
	return v, nil
}

// filledVessel finds a vessel that holds something.
func (c *change) filledVessel(code string) (*VesselState, error) {
	v, err := c.vessel(code)
	if err != nil {
		return nil, err
	}
	if !v.filled {
		return nil, refused("vessel", code, "it is empty on %s: only a fill can come next", c.day)
	}
	return v, nil
}

// holder returns an account as this change has it so far, settled to its day.
func (c *change) holder(a Account) holder {
	h, ok := c.holders[a]
	if !ok {
		h = c.state.held(a)
		if code, is := a.Vessel(); is {
			h.wood = c.state.Vessels[code].WoodLabel()
		}
	}
	if len(h.Parts) == 0 {
		h.since = c.day // there was nothing to count days for
	}
	h = h.settledOn(c.day)
	if len(h.Parts) > 0 {
		c.holders[a] = h // so that the days are counted once, however often it is asked for
	}
	return h
}

// event returns the line of a vessel's history that this change writes.
func (c *change) event(code string) *Event {
	if e, ok := c.events[code]; ok {
		return e
	}
	e := &Event{Entry: c.entry}
	c.events[code] = e
	c.order = append(c.order, code)
	return e
}

// move is the primitive: an amount leaves one account for another, parts and
// all. A holder must have it; see cover.
func (c *change) move(from, to Account, amount spirit.Amount) error {
	moved := Contents{Amount: amount}
	if from.holds() {
		h := c.holder(from)
		if h.Amount.Sub(amount).IsNegative() {
			_, name := from.Split()
			return refused("volume_l", amount, "%s holds only %v", name, h.Amount)
		}
		h.Contents, moved = h.without(amount)
		c.holders[from] = h
		if code, ok := from.Vessel(); ok {
			e := c.event(code)
			e.Out = e.Out.Add(amount)
		}
	} else if name, ok := to.Batch(); ok && from == Made && amount.EthanolMg > 0 {
		moved.Parts = []Part{{Batch: name, EthanolMg: amount.EthanolMg}}
	}
	c.record(from, to, moved)
	if to.holds() {
		c.put(to, moved)
	}
	return nil
}

func (c *change) record(from, to Account, moved Contents) {
	c.movements = append(c.movements, Movement{
		Seq: c.entry.Seq, At: c.entry.HappenedAt, From: from, To: to, Amount: moved.Amount, Parts: moved.Parts,
	})
}

func (c *change) put(to Account, moved Contents) {
	h := c.holder(to)
	if _, ok := to.Batch(); ok {
		moved.Parts = unaged(moved.Parts) // the still takes the age away
	}
	if h.wood != "" {
		moved.Parts = aged(moved.Parts, h.wood, c.day, c.day) // first contact
	}
	// Days are counted up to h.since, which may be the day after: entries of
	// neighbouring zones step back over midnight, and no day counts twice.
	h.Contents = h.with(moved)
	if code, ok := to.Vessel(); ok {
		h.rested = max(h.rested, h.Amount.Volume())
		e := c.event(code)
		e.In = e.In.Add(moved.Amount)
	}
	c.holders[to] = h
}

// regauge sets a vessel's book content to what was found and posts the
// difference to an account of losses, or to the wood.
func (c *change) regauge(code string, found spirit.Amount, loss Account) {
	a := VesselAccount(code)
	h := c.holder(a)
	difference := h.Amount.Sub(found)
	if difference.IsZero() {
		return
	}
	left, lost := h.regauged(found)
	h.Contents = left
	c.holders[a] = h
	c.record(a, loss, Contents{difference, lost})
	if loss.holds() {
		c.put(loss, Contents{difference, lost})
	}
	e := c.event(code)
	e.Lost = e.Lost.Add(difference)
}

// fullGauge regauges to what a content and a strength found at the same time
// say. Evaporation is let explain what two gauges may err by, too.
func (c *change) fullGauge(code string, found spirit.Amount) error {
	h := c.holder(VesselAccount(code))
	if len(h.Parts) == 0 && found.EthanolMg > 0 {
		return refused("strength_pct", nil, "the books have no alcohol in %s: an entry that says how it came there is missing, or one that says it left is wrong", code)
	}
	c.lose(code, found, Angels, Unexplained)
	c.markGauged(code)
	return nil
}

// lose regauges a vessel to less than the books have. As far as a sound vessel
// can explain the difference, it went into the wood and to the angels; what two
// measures may differ by besides, to an account for small change; and the rest
// to one that says what else it was.
func (c *change) lose(code string, found spirit.Amount, small, rest Account) {
	a := VesselAccount(code)
	held := c.holder(a).Amount
	missing, sound := held.Volume()-found.Volume(), c.mostInSound(code)
	keep := func(most spirit.Litres) spirit.Amount { // the books less what is beyond the most
		if missing <= most {
			return c.holder(a).Amount
		}
		return held.Sub(held.Sub(found).Scale(1 - float64(most/missing)))
	}
	c.regauge(code, keep(sound+gaugeError(c.state.held(a).Amount.Volume())), rest)
	c.regauge(code, keep(sound), small)
	c.drink(code, found)
	c.regauge(code, found, Angels)
}

func (c *change) markGauged(code string) {
	h := c.holder(VesselAccount(code))
	h.gauged, h.rested = c.day, h.Amount.Volume()
	c.holders[VesselAccount(code)] = h
}

// empty says that nothing is left. A little more than what evaporated stayed in
// hoses and on walls.
func (c *change) empty(code string, rest Account) {
	c.lose(code, spirit.Amount{}, Handling, rest)
	c.event(code).Emptied = true
}

// leaveNothing says that nothing is left where liquid came from. What a run is
// written down to have given and never reached a vessel stayed in the still-house.
func (c *change) leaveNothing(from Account) error {
	if code, ok := from.Vessel(); ok {
		c.empty(code, Unexplained)
		return nil
	}
	return c.topFrom(from, Handling, c.holder(from).Amount)
}

// commit writes the change into the state. What others may have from a copy of
// it is written anew, or added to at its end.
func (c *change) commit() {
	s := c.state
	if c.unnamed != nil {
		s.Batches[c.unnamed.Name] = c.unnamed
	}
	for _, name := range c.posted {
		b := *s.Batches[name]
		b.posted = true
		s.Batches[name] = &b
	}
	for a, h := range c.holders {
		s.holders[a] = &h
	}
	for _, m := range c.movements {
		if !m.From.holds() {
			s.ends[m.From] = s.ends[m.From].Sub(m.Amount)
		}
		if !m.To.holds() {
			s.ends[m.To] = s.ends[m.To].Add(m.Amount)
		}
	}
	s.Movements = append(s.Movements, c.movements...)
	for _, code := range c.order {
		e := c.events[code]
		v := *s.Vessels[code]
		e.Book = s.held(VesselAccount(code)).Amount
		v.filled = !e.Book.IsZero()
		// A run that took all of a vessel may be filled back into it by the
		// entry that posts the run: emptied and filled again at once.
		e.Filled, e.Emptied = e.Filled || e.Emptied && v.filled, !v.filled
		v.Events = append(v.Events, *e)
		if code == c.moved {
			v.PlacedAt, v.PlacedIn = c.place, c.spot
		}
		s.Vessels[code] = &v
	}
	if c.lot != nil {
		s.Lots[c.lot.Name] = c.lot
	}
	if c.remark != nil {
		s.Remarks = append(s.Remarks, *c.remark)
	}
	c.commitPeriods()
	s.last = c.entry
}

// commitPeriods writes what is about periods into the state.
func (c *change) commitPeriods() {
	s := c.state
	if c.closing != nil {
		s.Closings = append(s.Closings, *c.closing)
	}
	if c.explained != nil {
		s.Explanations = append(s.Explanations, *c.explained)
	}
	if c.limit != nil {
		s.Limits[c.limit.Of] = c.limit.PctPerYear
	}
	if c.beside != nil {
		c.beside(s)
	}
}
