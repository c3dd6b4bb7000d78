package cellar

// AimReady is an aim without a day: what a vessel should come to before it is
// called ready. The last one set for a filling holds.
const AimReady = "ready"

// Ready is what makes a vessel ready. What is 0 or empty is not asked for.
type Ready struct {
	FloorPct   float64     `json:"floor_pct,omitempty"`       // strength below which it must not fall
	AgeDays    int         `json:"age_days,omitempty"`        // of its youngest part
	Contact    float64     `json:"contact_cm2_l_y,omitempty"` // wood contact: cm² a litre, summed over years
	MostWood   float64     `json:"most_contact,omitempty"`    // past it when above
	Scores     []ReadyBand `json:"scores,omitempty"`          // profile
	LatestDays int         `json:"latest_age_days,omitempty"` // past it when older
}

// ReadyBand is where the score under one of the store's words should lie, 0 to 10.
type ReadyBand struct {
	Of  string  `json:"of"`
	Min float64 `json:"min"`
	Max float64 `json:"max"`
}

func (f *Aim) checkReady() error {
	if f.On != 0 {
		return invalid("on", f.On, "an aim for %s has no day: set one to look or to bottle", AimReady)
	}
	if f.Ready != nil {
		if err := f.Ready.check(); err != nil {
			return err
		}
	}
	return CheckNote("note", f.Words)
}

// check holds what is asked for to figures that can be.
func (r *Ready) check() error {
	if !within(r.FloorPct, 0, 100) {
		return invalid("floor_pct", trimmed(r.FloorPct), "must be 0 to 100")
	}
	const century = 36525
	if r.AgeDays < 0 || r.AgeDays > century || r.LatestDays < 0 || r.LatestDays > century {
		return invalid("age_days", r.AgeDays, "must be 0 to 100 years")
	}
	if r.LatestDays > 0 && r.LatestDays < r.AgeDays {
		return invalid("latest_age_days", r.LatestDays, "it would be past its best before it is old enough")
	}
	if !within(r.Contact, 0, 1e6) || !within(r.MostWood, 0, 1e6) {
		return invalid("contact_cm2_l_y", trimmed(r.Contact), "must be 0 to 1000000")
	}
	if len(r.Scores) > MostScores {
		return invalid("scores", len(r.Scores), "at most %d", MostScores)
	}
	for _, band := range r.Scores {
		if err := CheckName("scores", band.Of); err != nil {
			return err
		}
		if !within(band.Min, 0, 10) || !within(band.Max, band.Min, 10) {
			return invalid("scores", trimmed(band.Min), "the band of %s must lie between 0 and 10", band.Of)
		}
	}
	return nil
}

// ReadyOf returns what was last asked of a vessel in its present filling.
func (s *State) ReadyOf(code string) (*Aim, bool) {
	v, known := s.Vessels[code]
	if !known || !v.filled {
		return nil, false
	}
	for i := len(v.Events) - 1; i >= 0; i-- {
		e := v.Events[i]
		if aim, ok := e.Entry.Fact.(*Aim); ok && aim.For == AimReady && aim.Vessel == code {
			return aim, aim.Ready != nil
		}
		if e.Filled {
			break
		}
	}
	return nil, false
}
