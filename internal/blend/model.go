package blend

import (
	"fmt"
	"math"
	"sort"

	"example.org/croze/internal/blend/lp"
	"example.org/croze/internal/spirit"
)

var waterDensity = float64(spirit.WaterDensity) / 1000 // kg/L

// cask is a source as the model sees it: what one litre of it brings.
type cask struct {
	*Source
	index   int     // in Plan.Sources
	alcohol float64 // litres of pure alcohol in a litre
	mass    float64 // kg in a litre
}

// model is a plan laid out as a program.
type model struct {
	plan    *Plan
	goals   []Target
	casks   []cask // in order of id
	program *lp.Program
	parts   []part
	supply  map[int]bool // casks whose stock has a row, when several targets compete
	margin  float64      // standard uncertainties of stock to stay clear of
}

// part is one bottling's share of the program.
type part struct {
	goal   *Target
	draws  []use
	water  int // column, -1 without water
	volume int // column of the volume made

	anyStrength bool // freedom.strength was given
}

// use is the column of a cask in a part.
type use struct{ cask, column int }

// freedom loosens a target, to find out what could be made instead.
type freedom struct {
	volume   bool // any volume from a thousandth of the wanted one to a thousand times it
	wide     bool // with volume: as much as the stock holds the alcohol for
	strength bool // any strength, and so any volume
}

// terms are what a plan is worked on besides itself.
type terms struct {
	margin float64   // standard uncertainties of stock to stay clear of
	free   []freedom // by target, nil for none
}

func (t terms) freedom(target int) freedom {
	if target < len(t.free) {
		return t.free[target]
	}
	return freedom{}
}

// build lays out the plan.
func build(p *Plan, on terms) *model {
	m := &model{plan: p, goals: p.goals(), program: &lp.Program{}, supply: map[int]bool{}, margin: on.margin}
	m.gatherCasks()
	for i := range m.goals {
		m.addPart(&m.goals[i], on.freedom(i))
	}
	m.addWholes()
	m.addMustUse()
	m.setObjective()
	return m
}

// gatherCasks sorts the sources by id, so that their order in the file does not matter.
func (m *model) gatherCasks() {
	m.casks = make([]cask, len(m.plan.Sources))
	for i := range m.plan.Sources {
		s := &m.plan.Sources[i]
		m.casks[i] = cask{s, i, s.StrengthPct / 100, density(s.StrengthPct)}
	}
	sort.Slice(m.casks, func(a, b int) bool { return m.casks[a].ID < m.casks[b].ID })
}

// mostOf is how much a target can take of a cask at most. It is kept tight: a
// draw beyond what the target's alcohol or mass allows is of no use.
func (m *model) mostOf(c *cask, volume float64, goal *Target) float64 {
	most := m.holding(c)
	if c.alcohol > 0 {
		most = math.Min(most, volume*goal.StrengthPct/100/c.alcohol)
	}
	return math.Max(0, math.Min(most, volume*density(goal.StrengthPct)/c.mass))
}

// largest is the greatest volume at the target's strength that could matter.
func (m *model) largest(goal *Target, free freedom) float64 {
	if !free.volume {
		return goal.VolumeL
	}
	alcohol := 0.0
	for i := range m.casks {
		alcohol += m.casks[i].alcohol * m.casks[i].usable()
	}
	most := math.Max(goal.VolumeL, alcohol/(goal.StrengthPct/100))
	if free.wide {
		return most
	}
	// A range much wider than what is asked for would blur the small numbers in it.
	return math.Min(most, 1000*goal.VolumeL)
}

func (m *model) addPart(goal *Target, free freedom) {
	pt := part{goal: goal, water: -1, anyStrength: free.strength}
	v := m.largest(goal, free)
	least := v
	if free.volume || free.strength {
		least = goal.VolumeL / 1000
	}
	pt.volume = m.program.Column(least, v, 0)
	m.addDraws(&pt, v, free)
	if free.strength {
		m.addAnyStrength(&pt)
	} else {
		m.addBalances(&pt, v)
	}
	m.addBands(&pt)
	m.addSwitches(&pt)
	m.parts = append(m.parts, pt)
}

// addDraws adds a column for each cask that may be drawn on.
func (m *model) addDraws(pt *part, v float64, free freedom) {
	for i := range m.casks {
		c := &m.casks[i]
		if m.barred(c, pt.goal) != "" {
			continue
		}
		most := m.mostOf(c, v, pt.goal)
		if free.strength {
			most = m.holding(c)
		}
		pt.draws = append(pt.draws, use{i, m.program.Column(0, most, 0)})
	}
}

// addBalances adds the two equations: pure alcohol and mass.
func (m *model) addBalances(pt *part, v float64) {
	goal := pt.goal
	alcohol, mass := m.program.Row(0, 0), m.program.Row(0, 0)
	m.program.Set(alcohol, pt.volume, -goal.StrengthPct/100)
	m.program.Set(mass, pt.volume, -density(goal.StrengthPct))
	for _, u := range pt.draws {
		c := &m.casks[u.cask]
		m.program.Set(alcohol, u.column, c.alcohol)
		m.program.Set(mass, u.column, c.mass)
	}
	if m.plan.Water {
		pt.water = m.program.Column(0, v*density(goal.StrengthPct)/waterDensity, 0)
		m.program.Set(mass, pt.water, waterDensity)
	}
}

// addAnyStrength asks for some alcohol and no more; the volume stands for the
// litres drawn, as far as anything is said of it.
func (m *model) addAnyStrength(pt *part) {
	volume, stock := m.program.Row(0, 0), 0.0
	m.program.Set(volume, pt.volume, -1)
	alcohol := m.program.Row(pt.goal.VolumeL*pt.goal.StrengthPct/1e5, math.Inf(1))
	for _, u := range pt.draws {
		m.program.Set(volume, u.column, 1)
		m.program.Set(alcohol, u.column, m.casks[u.cask].alcohol)
		stock += m.holding(&m.casks[u.cask])
	}
	m.program.SetBounds(pt.volume, 0, stock)
}

// barred says why a cask may not be drawn on for a target; "" when it may.
func (m *model) barred(c *cask, goal *Target) string {
	l := goal.Limits
	switch {
	case c.MustNotUse:
		return "must not be used"
	case c.usable() <= 0:
		return "nothing is available"
	case l.MinAgeDays > 0 && c.AgeDays == nil:
		return "its age is not known"
	case l.MinAgeDays > 0 && *c.AgeDays < l.MinAgeDays:
		return fmt.Sprintf("it is %.0f days old, and %.0f are asked for", *c.AgeDays, l.MinAgeDays)
	case l.MaxResidue > 0 && c.Residue == nil:
		return "its dissolved solids are not known"
	}
	if name := unscored(c, goal, m.plan.objective()); name != "" {
		return fmt.Sprintf("it has no score for %q", name)
	}
	return ""
}

// unscored names a score that the plan depends on and the cask has not got. A
// score that is not known is not 0.
func unscored(c *cask, goal *Target, objective string) string {
	for _, b := range goal.Limits.Scores {
		if _, known := c.Scores[b.Of]; !known {
			return b.Of
		}
	}
	if objective == ClosestScores {
		for _, name := range names(goal.Wanted) {
			if _, known := c.Scores[name]; !known {
				return name
			}
		}
	}
	return ""
}

// addBands adds the limits that are averages over the pure alcohol, or over
// the volume for dissolved solids.
func (m *model) addBands(pt *part) {
	for _, b := range pt.goal.Limits.Shares {
		m.addBand(pt, b, func(c *cask) float64 { return c.Shares[b.Of] })
	}
	for _, b := range pt.goal.Limits.Scores {
		m.addBand(pt, b, func(c *cask) float64 { return c.Scores[b.Of] })
	}
	if most := pt.goal.Limits.MaxResidue; most > 0 && !(pt.anyStrength && m.plan.Water) {
		r := m.program.Row(math.Inf(-1), 0)
		m.program.Set(r, pt.volume, -most)
		for _, u := range pt.draws {
			m.program.Set(r, u.column, *m.casks[u.cask].Residue)
		}
	}
}

// addBand keeps Σ alcohol·(value - bound) on the right side of 0.
func (m *model) addBand(pt *part, b Band, value func(*cask) float64) {
	side := func(bound, low, high float64) {
		r := m.program.Row(low, high)
		for _, u := range pt.draws {
			c := &m.casks[u.cask]
			if v := c.alcohol * (value(c) - bound); v != 0 {
				m.program.Set(r, u.column, v)
			}
		}
	}
	if b.Min != nil {
		side(*b.Min, 0, math.Inf(1))
	}
	if b.Max != nil {
		side(*b.Max, math.Inf(-1), 0)
	}
}
