package cellar

import "slices"

// Trial sets vessels side by side to learn from them: the same spirit in a cask
// and over staves, two woods, two yeasts. It moves nothing.
type Trial struct {
	Name     string   `json:"name"`
	Vessels  []string `json:"vessels"` // 2 to MostInTrial; the first is what the others are held against
	Question string   `json:"question,omitempty"`
}

// Kind is "trial".
func (*Trial) Kind() string { return "trial" }

// Subjects names nothing: to be compared changes nothing about a vessel.
func (*Trial) Subjects() []Account { return nil }

// CheckTrial holds a trial to a name and to vessels that are named once each.
func CheckTrial(f *Trial) error {
	if err := CheckName("name", f.Name); err != nil {
		return err
	}
	if len(f.Vessels) < 2 || len(f.Vessels) > MostInTrial {
		return invalid("vessels", len(f.Vessels), "a trial has 2 to %d vessels: choose some", MostInTrial)
	}
	for i, code := range f.Vessels {
		if slices.Contains(f.Vessels[:i], code) {
			return invalid("vessels", code, "is named twice")
		}
	}
	return CheckNote("question", f.Question)
}

func (f *Trial) apply(c *change) error {
	if err := CheckTrial(f); err != nil {
		return err
	}
	for _, code := range f.Vessels {
		if _, err := c.vessel(code); err != nil {
			return err
		}
	}
	c.beside = func(s *State) { s.Desk.Trials = append(s.Desk.Trials, Tried{c.entry, f}) }
	return nil
}

// Tried is a trial with the entry that set it up.
type Tried struct {
	Entry Entry
	*Trial
}

// WarmTrial is a bench trial: a little spirit kept warm over wood for some
// hours. Hours in the warm are no days in wood: nothing of it counts towards an
// age, a loss or the scores of the vessel that it was taken from.
type WarmTrial struct {
	Name        string         `json:"name"`
	From        Account        `json:"from"`     // the batch or vessel that the spirit was taken from
	VolumeL     float64        `json:"volume_l"` // in the jar
	StrengthPct float64        `json:"strength_pct,omitempty"`
	Hours       float64        `json:"hours"`
	TempC       float64        `json:"temp_c"`
	Wood        string         `json:"wood,omitempty"`
	WoodAreaM2  float64        `json:"wood_area_m2,omitempty"`
	Colour      string         `json:"colour,omitempty"`
	Scores      map[string]int `json:"scores,omitempty"` // 0 to 10
	Note        string         `json:"note,omitempty"`
}

// Kind is "warm_trial".
func (*WarmTrial) Kind() string { return "warm_trial" }

// Subjects names where the spirit came from.
func (f *WarmTrial) Subjects() []Account { return []Account{f.From} }

// Bounds of a warm trial.
const (
	longestWarmHours = 5000
	hottestWarmC     = 70 // above it strong spirit boils off a bench
)

// CheckWarmTrial holds a warm trial to figures that can be.
func CheckWarmTrial(f *WarmTrial) error {
	if err := CheckName("name", f.Name); err != nil {
		return err
	}
	if !(f.VolumeL > 0 && f.VolumeL <= 100) {
		return invalid("volume_l", trimmed(f.VolumeL), "must be above 0 and at most 100")
	}
	if !(f.StrengthPct >= 0 && f.StrengthPct <= 100) {
		return invalid("strength_pct", trimmed(f.StrengthPct), "must be 0 to 100")
	}
	if !(f.Hours > 0 && f.Hours <= longestWarmHours) {
		return invalid("hours", trimmed(f.Hours), "must be above 0 and at most %d", longestWarmHours)
	}
	if !(f.TempC >= 0 && f.TempC <= hottestWarmC) {
		return invalid("temp_c", trimmed(f.TempC), "must be 0 to %d °C: warmer, the vapour of strong spirit is a danger on any bench", hottestWarmC)
	}
	if !(f.WoodAreaM2 >= 0 && f.WoodAreaM2 <= 100) {
		return invalid("wood_area_m2", trimmed(f.WoodAreaM2), "must be 0 to 100")
	}
	if f.Wood != "" {
		if err := CheckName("wood", f.Wood); err != nil {
			return err
		}
	}
	if err := (&Senses{Colour: f.Colour, Scores: f.Scores}).check(); err != nil {
		return err
	}
	return CheckNote("note", f.Note)
}

func (f *WarmTrial) apply(c *change) error {
	if err := CheckWarmTrial(f); err != nil {
		return err
	}
	if err := c.knownSource(f.From); err != nil {
		return err
	}
	c.beside = func(s *State) { s.Desk.Warm = append(s.Desk.Warm, Warmed{c.entry, f}) }
	return nil
}

// knownSource says whether a vessel, batch or lot is there to be spoken of.
func (c *change) knownSource(a Account) error {
	if code, ok := a.Vessel(); ok {
		_, err := c.vessel(code)
		return err
	}
	if name, ok := a.Batch(); ok {
		if c.state.Batches[name] == nil {
			return notFound("from", name, "no such batch is registered")
		}
		return nil
	}
	if name, ok := a.Lot(); ok && c.state.Lots[name] != nil {
		return nil
	}
	return notFound("from", string(a), "no vessel, batch or bottling has this name")
}

// Warmed is a warm trial with the entry that says so.
type Warmed struct {
	Entry Entry
	*WarmTrial
}
