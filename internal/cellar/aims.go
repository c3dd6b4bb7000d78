package cellar

// What an aim is for.
const (
	AimLook   = "look" // as if blank
	AimBottle = "bottle"
)

// Aim is a day on which to come back to a vessel: to look at it again, or to
// bottle it. It belongs to the filling in which it was set.
type Aim struct {
	Vessel string `json:"vessel"`
	On     Day    `json:"on"`
	For    string `json:"for,omitempty"` // look, bottle or ready; blank: look
	Words  string `json:"words,omitempty"`
	Ready  *Ready `json:"ready,omitempty"` // of an aim for ready, which has no day; nil takes it back
}

// Kind is "aim".
func (*Aim) Kind() string { return "aim" }

// Subjects names the vessel.
func (f *Aim) Subjects() []Account { return []Account{VesselAccount(f.Vessel)} }

// CheckAim holds an aim to a day within a century and a purpose that there is.
func CheckAim(f *Aim) error {
	if f.For == AimReady {
		return f.checkReady()
	}
	if f.Ready != nil {
		return invalid("for", f.For, "only an aim for %s says what to come to", AimReady)
	}
	if f.On < Date(EarliestYear, 1, 1) || f.On >= Date(LatestYear+1, 1, 1) {
		return invalid("on", f.On, "must lie between %d and %d", EarliestYear, LatestYear)
	}
	if f.For != "" && f.For != AimLook && f.For != AimBottle {
		return invalid("for", f.For, "use %s, %s or %s", AimLook, AimBottle, AimReady)
	}
	return CheckNote("note", f.Words)
}

func (f *Aim) apply(c *change) error {
	if _, err := c.vessel(f.Vessel); err != nil {
		return err
	}
	if err := CheckAim(f); err != nil {
		return err
	}
	c.event(f.Vessel)
	c.beside = func(s *State) { s.Aims = append(s.Aims, Aimed{c.entry, f}) }
	return nil
}

// Aimed is an aim with the entry that set it.
type Aimed struct {
	Entry Entry
	*Aim
}

// Relabel says that the label of a vessel, a batch or a lot was replaced by a
// fresh one. The code stays: it is the thing's, not the label's.
type Relabel struct {
	About  Account `json:"about"`
	Reason string  `json:"reason,omitempty"`
}

// Kind is "relabel".
func (*Relabel) Kind() string { return "relabel" }

// Subjects names what the label is on.
func (f *Relabel) Subjects() []Account { return []Account{f.About} }

func (f *Relabel) apply(c *change) error {
	if code, ok := f.About.Vessel(); ok {
		if _, err := c.vessel(code); err != nil {
			return err
		}
		c.event(code)
	}
	return nil
}

// The ways from requests to these facts.

func (w *resolution) roundSkip() (Fact, error) {
	if err := w.needVessel(); err != nil {
		return nil, err
	}
	if w.Note == "" {
		return nil, invalid("note", nil, "say why it is skipped")
	}
	if w.Round == "" {
		return nil, invalid("round", nil, "say of which round")
	}
	// Whether there is such a round is for the book to say: a phone's clock may
	// be behind the one by which the round began.
	return &RoundSkip{Round: w.Round, Vessel: w.vessel.Code, Reason: w.Note}, nil
}

func (w *resolution) aim() (Fact, error) {
	if err := w.needFilled(); err != nil {
		return nil, err
	}
	f := &Aim{Vessel: w.vessel.Code, On: w.On, For: w.For, Words: w.Note}
	if w.On == 0 {
		return nil, invalid("on", nil, "say on which day")
	}
	if f.On < DayOf(w.When) {
		return nil, invalid("on", f.On, "lies in the past: choose a day to come")
	}
	if err := CheckAim(f); err != nil {
		return nil, err
	}
	return f, nil
}

func (w *resolution) relabel() (Fact, error) {
	if w.vessel != nil {
		return &Relabel{About: VesselAccount(w.vessel.Code), Reason: w.Note}, nil
	}
	if name, ok := Account(w.From).Lot(); ok {
		if w.State.Lots[name] == nil {
			return nil, notFound("from", name, "no such bottling is recorded")
		}
		return &Relabel{About: LotAccount(name), Reason: w.Note}, nil
	}
	if w.From == "" {
		return nil, invalid("vessel", nil, "say whose label was replaced")
	}
	about, err := w.source(w.From)
	if err != nil {
		return nil, err
	}
	return &Relabel{About: about, Reason: w.Note}, nil
}
