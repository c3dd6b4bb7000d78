package cellar

import (
	"encoding/json"
	"math"
	"slices"

	"example.org/croze/internal/gauge"
	"example.org/croze/internal/spirit"
)

// Plan is a blend that somebody means to make: the wish as a plan file, and
// what was found for one bottling of it. It moves nothing. A blend that names
// it is the plan made; a void takes it off the list.
type Plan struct {
	Name        string          `json:"name"`
	Wanted      Day             `json:"wanted,omitempty"` // 0: on no particular day
	File        json.RawMessage `json:"file"`             // the plan file, with the stock that it was worked out from
	Draws       []PlanDraw      `json:"draws"`
	WaterKg     float64         `json:"water_kg"`     // in vacuum
	VolumeL     float64         `json:"volume_l"`     // of the result, at 20 °C
	StrengthPct float64         `json:"strength_pct"` // of the result
}

// PlanDraw is what a plan takes from a vessel, litres at 20 °C.
type PlanDraw struct {
	Vessel      string  `json:"vessel"`
	VolumeL     float64 `json:"volume_l"`
	StrengthPct float64 `json:"strength_pct"` // that the plan reckoned with
}

// Kind is "plan".
func (*Plan) Kind() string { return "plan" }

// Subjects names nothing: to be planned for changes nothing about a vessel.
func (*Plan) Subjects() []Account { return nil }

// CheckPlan holds a plan to a name, a file that is JSON and not too long, and
// figures that can be.
func CheckPlan(f *Plan) error {
	if err := CheckName("name", f.Name); err != nil {
		return err
	}
	if f.Wanted != 0 && (f.Wanted < Date(EarliestYear, 1, 1) || f.Wanted >= Date(LatestYear+1, 1, 1)) {
		return invalid("wanted", f.Wanted, "must lie between %d and %d", EarliestYear, LatestYear)
	}
	if len(f.File) > LongestPlan || !json.Valid(f.File) {
		return invalid("file", nil, "must be a plan file of at most %d bytes", LongestPlan)
	}
	if len(f.Draws) == 0 || len(f.Draws) > MostDraws {
		return invalid("draws", len(f.Draws), "a plan draws from 1 to %d vessels", MostDraws)
	}
	return f.checkFigures()
}

func (f *Plan) checkFigures() error {
	if !within(f.WaterKg, 0, LargestMassKg) {
		return invalid("water_kg", f.WaterKg, "must be 0 to %d", LargestMassKg)
	}
	figures := append([]PlanDraw{{VolumeL: f.VolumeL, StrengthPct: f.StrengthPct}}, f.Draws...)
	for _, d := range figures {
		if !within(d.VolumeL, 0, LargestVolumeL) || !within(d.StrengthPct, 0, 100) {
			return invalid("draws", d.Vessel, "%v L at %v %% vol cannot be", d.VolumeL, d.StrengthPct)
		}
	}
	return nil
}

func within(x, low, high float64) bool { return !math.IsNaN(x) && x >= low && x <= high }

func (f *Plan) apply(c *change) error {
	if err := CheckPlan(f); err != nil {
		return err
	}
	for _, d := range f.Draws {
		if _, err := c.vessel(d.Vessel); err != nil {
			return err
		}
	}
	c.beside = func(s *State) { s.Plans = append(s.Plans, Planned{Entry: c.entry, Plan: f}) }
	return nil
}

// Planned is a plan with the entry that keeps it.
type Planned struct {
	Entry Entry
	*Plan
}

// FindPlan finds a plan by the ID of its entry.
func (s *State) FindPlan(id string) (Planned, bool) {
	i := slices.IndexFunc(s.Plans, func(p Planned) bool { return p.Entry.ID == id })
	if i < 0 {
		return Planned{}, false
	}
	return s.Plans[i], true
}

// Cost says what a litre in a vessel is reckoned to have cost, for plans. It
// holds for what is in the vessel when it is said: the next filling has its own.
type Cost struct {
	Vessel string  `json:"vessel"`
	PerL   float64 `json:"per_l"` // of the liquid at 20 °C, in the owner's money; below 0 for what one is glad to be rid of
}

// Kind is "cost".
func (*Cost) Kind() string { return "cost" }

// Subjects names the vessel.
func (f *Cost) Subjects() []Account { return []Account{VesselAccount(f.Vessel)} }

// CheckCost holds a cost to a number that can be.
func CheckCost(f *Cost) error {
	if !within(f.PerL, -LargestCost, LargestCost) {
		return invalid("cost_per_l", f.PerL, "must be between -%d and %d", LargestCost, LargestCost)
	}
	return nil
}

func (f *Cost) apply(c *change) error {
	if _, err := c.filledVessel(f.Vessel); err != nil {
		return err
	}
	if err := CheckCost(f); err != nil {
		return err
	}
	c.event(f.Vessel)
	c.beside = func(s *State) { s.costs[f.Vessel] = costed{f.PerL, len(s.Vessels[f.Vessel].Events)} }
	return nil
}

// costed is a cost and how many events the vessel had by then.
type costed struct {
	perL   float64
	events int
}

// CostOf returns what a litre in a vessel was last said to cost, in this
// filling of it.
func (s *State) CostOf(code string) (perL float64, known bool) {
	cost, said := s.costs[code]
	if !said {
		return 0, false
	}
	for _, e := range s.Vessels[code].Events[cost.events:] {
		if e.Filled || e.Emptied {
			return 0, false
		}
	}
	return cost.perL, true
}

// weighedDraw works out a draw from what a balance in air showed of it.
func (w *resolution) weighedDraw(from Account, d RequestDraw) (Measure, error) {
	kg := *d.WeighsKg
	if d.VolumeL != nil {
		return Measure{}, invalid("weighs_kg", trimmed(kg), "give volume_l or weighs_kg, not both")
	}
	if !(kg > 0 && kg <= LargestMassKg) {
		return Measure{}, invalid("weighs_kg", trimmed(kg), "must be above 0 and at most %d", LargestMassKg)
	}
	r, err := w.reading()
	if err != nil {
		return Measure{}, err
	}
	m := Measure{NetKg: spirit.Kilograms(kg), TempC: w.temperature(), Reading: r, Basis: Measured}
	if r != nil {
		m.StrengthPct = r.StrengthPct
	} else if m.StrengthPct, m.Basis, err = w.strengthOf(from); err != nil {
		return Measure{}, err
	}
	found, err := gauge.ByWeight(m.NetKg, 0, m.StrengthPct)
	if err != nil {
		return Measure{}, invalid("weighs_kg", trimmed(kg), "%v", err)
	}
	m.Amount = found.Amount
	return m, nil
}
