package cellar

// Desk is what the owner keeps beside the books, which moves nothing: trials,
// tastings and what things are worth.
type Desk struct {
	Trials  []Tried
	Warm    []Warmed
	Words   []string // that the store scores under, its own list; none: those used so far
	Plans   []TastingPlanned
	Answers []TastingAnswered
	Values  []Valued
}

// FindTrial finds a trial by the ID of its entry.
func (d *Desk) FindTrial(id string) (Tried, bool) {
	for _, t := range d.Trials {
		if t.Entry.ID == id {
			return t, true
		}
	}
	return Tried{}, false
}

// FindTasting finds a planned tasting by the ID of its entry.
func (d *Desk) FindTasting(id string) (TastingPlanned, bool) {
	for _, p := range d.Plans {
		if p.Entry.ID == id {
			return p, true
		}
	}
	return TastingPlanned{}, false
}

// Value says what a litre in a vessel is thought to be worth, or in every
// vessel of a kind: the owner's own figure, in the owner's money.
type Value struct {
	Vessel string     `json:"vessel,omitempty"`
	Of     VesselKind `json:"of,omitempty"` // where no vessel is named
	PerL   float64    `json:"per_l"`        // of the liquid at 20 °C; 0 takes the figure back
}

// Kind is "value".
func (*Value) Kind() string { return "value" }

// Subjects names the vessel, if it is about one.
func (f *Value) Subjects() []Account {
	if f.Vessel == "" {
		return nil
	}
	return []Account{VesselAccount(f.Vessel)}
}

// highestValue is where a figure is taken for a slip.
const highestValue = 1_000_000

// CheckValue holds a value to one subject and a sensible figure.
func CheckValue(f *Value) error {
	if !(f.PerL >= 0 && f.PerL <= highestValue) {
		return invalid("per_l", trimmed(f.PerL), "must be 0 (no value set) to %d", highestValue)
	}
	if f.Vessel != "" && f.Of == "" {
		return nil
	}
	for _, kind := range VesselKinds {
		if f.Of == kind && f.Vessel == "" {
			return nil
		}
	}
	return invalid("of", f.Of, "name a vessel, or one of cask, hybrid, jar and tank")
}

func (f *Value) apply(c *change) error {
	if err := CheckValue(f); err != nil {
		return err
	}
	if f.Vessel != "" {
		if _, err := c.vessel(f.Vessel); err != nil {
			return err
		}
	}
	c.beside = func(s *State) { s.Desk.Values = append(s.Desk.Values, Valued{c.entry, f}) }
	return nil
}

// Valued is a value with the entry that set it.
type Valued struct {
	Entry Entry
	*Value
}
