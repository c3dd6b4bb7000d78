package blend

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"example.org/croze/internal/blend/lp"
)

// Alternative is one of several plans for the same bottling that differ in the
// vessels they use, with what they mean for the store. A nil figure is not
// known, because a vessel's own is not.
type Alternative struct {
	Why     string  `json:"why"`
	Result  Result  `json:"plan"`
	Vessels int     `json:"vessels"`
	Effects Effects `json:"effects"`
}

// Effects are what a plan costs and what it leaves.
type Effects struct {
	Cost             *float64 `json:"cost,omitempty"`
	MeanAgeDays      *float64 `json:"mean_age_days,omitempty"`           // of what is used, by pure alcohol
	OldestDays       *float64 `json:"oldest_days,omitempty"`             // oldest vessel used
	LossAvoided      *float64 `json:"loss_avoided_l_per_year,omitempty"` // that the drawn spirit would have lost
	LeftL            float64  `json:"left_l"`
	LeftAlcoholL     float64  `json:"left_alcohol_l"`
	LeftMeanAgeDays  *float64 `json:"left_mean_age_days,omitempty"` // of what stays, by pure alcohol
	LeftLossLPerYear *float64 `json:"left_loss_l_per_year,omitempty"`
}

// Alternatives returns up to `most` plans, the best by the plan's own objective
// first, then the best by other objectives, then the next best by its own: each
// leaves out some vessel of every one before it. None is returned for a plan
// that cannot be met.
func Alternatives(p Plan, most int) ([]Alternative, error) {
	if err := p.ready(); err != nil {
		return nil, err
	}
	margin, possible, err := p.marginForChance()
	if err != nil || !possible {
		return nil, err
	}
	c := &comparison{margin: margin, most: most}
	if err := c.add(&p, "best by "+inWords(p.objective())); err != nil || len(c.found) == 0 {
		return nil, err
	}
	for _, objective := range Objectives() {
		other := p
		other.Objective = objective
		if objective == p.objective() || other.Check() != nil {
			continue
		}
		if err := c.add(&other, "best by "+inWords(objective)); err != nil {
			return nil, err
		}
	}
	for last := -1; last < len(c.found); {
		last = len(c.found)
		if err := c.addNext(&p); err != nil {
			return nil, err
		}
		if last == len(c.found) {
			break
		}
	}
	return c.found, nil
}

func inWords(objective string) string { return strings.ReplaceAll(objective, "_", " ") }

// comparison gathers plans with different sets of vessels.
type comparison struct {
	margin float64
	most   int
	found  []Alternative
	sets   [][]string // ids, with the target where there are several
}

// add solves a plan and keeps it if its vessels are new.
func (c *comparison) add(p *Plan, why string) error {
	if len(c.found) >= c.most {
		return nil
	}
	m := build(p, terms{margin: c.margin})
	s, err := m.best()
	if err != nil || s.X == nil {
		return err
	}
	return c.keep(m, s, why)
}

func (c *comparison) keep(m *model, s lp.Solution, why string) error {
	set := m.setOf(s.X)
	for _, other := range c.sets {
		if strings.Join(other, "\n") == strings.Join(set, "\n") {
			return nil
		}
	}
	r, err := m.answer(s)
	if err != nil {
		return err
	}
	c.sets = append(c.sets, set)
	c.found = append(c.found, Alternative{why, r, len(m.used(s.X)), m.effects(s.X)})
	return nil
}

// largestSet is how many vessels a plan may use for next best plans to be worth looking for.
const largestSet = 60

// addNext adds the best plan that leaves out some vessel of each one found.
func (c *comparison) addNext(p *Plan) error {
	if len(c.found) >= c.most {
		return nil
	}
	m := build(p, terms{margin: c.margin})
	for _, set := range c.sets {
		if len(set) > largestSet {
			return nil
		}
		m.avoid(set)
	}
	m.program.MostEffort = clashEffort
	s, err := m.best()
	if err != nil || s.X == nil {
		return err
	}
	return c.keep(m, s, fmt.Sprintf("next best by %s, without %s", inWords(p.objective()), m.missing(s.X, c.sets[0])))
}

// missing names the vessels of the best plan that x does without.
func (m *model) missing(x []float64, best []string) string {
	has := map[string]bool{}
	for _, key := range m.setOf(x) {
		has[key] = true
	}
	var list []string
	for _, key := range best {
		if !has[key] {
			list = append(list, key)
		}
	}
	return strings.Join(list, ", ")
}

// key names a draw for comparing sets.
func (m *model) key(target, cask int) string {
	if len(m.goals) == 1 {
		return m.casks[cask].ID
	}
	return fmt.Sprintf("%s for %s", m.casks[cask].ID, m.goals[target].title(target))
}

// setOf lists what x uses.
func (m *model) setOf(x []float64) []string {
	var set []string
	for i := range m.parts {
		for _, u := range m.parts[i].draws {
			if x[u.column] > 0 {
				set = append(set, m.key(i, u.cask))
			}
		}
	}
	sort.Strings(set)
	return set
}

func (m *model) used(x []float64) (casks []int) {
	for i, v := range m.drawn(x) {
		if v > 0 {
			casks = append(casks, i)
		}
	}
	return casks
}

// avoid asks that not all of a set be used.
func (m *model) avoid(set []string) {
	in := map[string]bool{}
	for _, key := range set {
		in[key] = true
	}
	row := m.program.Row(math.Inf(-1), float64(len(set)-1))
	for i := range m.parts {
		for _, u := range m.parts[i].draws {
			if in[m.key(i, u.cask)] {
				m.program.EnsureSwitch(u.column)
				m.program.Count(row, u.column, 1)
			}
		}
	}
}

// effects works out what a plan means for the store.
func (m *model) effects(x []float64) Effects {
	drawn := m.drawn(x)
	left := make([]float64, len(drawn))
	var e Effects
	for i := range m.casks {
		left[i] = math.Max(0, m.casks[i].AvailableL-drawn[i])
		e.LeftL += left[i]
		e.LeftAlcoholL += left[i] * m.casks[i].alcohol
	}
	cost := func(s *Source) *float64 { return s.CostPerL }
	age := func(s *Source) *float64 { return s.AgeDays }
	loss := func(s *Source) *float64 { return s.LossPctPerYear }
	e.Cost = m.sum(drawn, cost, false)
	e.MeanAgeDays = ratio(m.sum(drawn, age, true), m.alcohol(drawn))
	e.LeftMeanAgeDays = ratio(m.sum(left, age, true), e.LeftAlcoholL)
	e.LossAvoided = ratio(m.sum(drawn, loss, false), 100)
	e.LeftLossLPerYear = ratio(m.sum(left, loss, false), 100)
	for i, v := range drawn {
		if a := m.casks[i].AgeDays; v > 0 && a != nil && (e.OldestDays == nil || *a > *e.OldestDays) {
			e.OldestDays = a
		}
	}
	return e
}

// sum weighs a figure by litres, or by pure alcohol; nil when a vessel that
// counts does not have it.
func (m *model) sum(litres []float64, figure func(*Source) *float64, byAlcohol bool) *float64 {
	total := 0.0
	for i, v := range litres {
		if v <= 0 {
			continue
		}
		f := figure(m.casks[i].Source)
		if f == nil {
			return nil
		}
		if byAlcohol {
			v *= m.casks[i].alcohol
		}
		total += v * *f
	}
	return &total
}

func (m *model) alcohol(litres []float64) float64 {
	sum := 0.0
	for i, v := range litres {
		sum += v * m.casks[i].alcohol
	}
	return sum
}

func ratio(v *float64, by float64) *float64 {
	if v == nil || by == 0 {
		return nil
	}
	r := *v / by
	return &r
}
