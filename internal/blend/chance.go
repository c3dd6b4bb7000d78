package blend

import (
	"math"

	"example.org/croze/internal/blend/lp"
)

// Chance says how likely the plan is to work out, the stock being uncertain.
// MakesVolume is the chance that every draw can be made as planned, contents
// being independent and normal with the standard uncertainties given. A plan
// that is asked for a chance stays MarginSD standard uncertainties clear of what
// each vessel is thought to hold.
type Chance struct {
	MakesVolume float64    `json:"makes_volume"`
	Asked       float64    `json:"asked,omitempty"`
	MarginSD    float64    `json:"margin_sd,omitempty"`
	Vessels     []Shortage `json:"vessels,omitempty"` // those that may run short
	GaugeFirst  *Gauging   `json:"gauge_first,omitempty"`
}

// Shortage is the chance that one vessel holds its draw.
type Shortage struct {
	ID    string  `json:"id"`
	Holds float64 `json:"holds"`
}

// Gauging is the vessel whose measurement would help most, and the figures
// there would be if it were found to hold what is thought.
type Gauging struct {
	ID          string  `json:"id"`
	Why         string  `json:"why"`
	MakesVolume float64 `json:"makes_volume"`
	StrengthSD  float64 `json:"strength_sd"`
}

// normal is the chance that a standard normal is at most z.
func normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// normalAt is the inverse of normal.
func normalAt(chance float64) float64 { return math.Sqrt2 * math.Erfinv(2*chance-1) }

// holds is the chance that a cask can give a draw.
func (c *cask) holds(draw float64) float64 {
	if draw <= 0 || c.VolumeSDL == 0 {
		return 1
	}
	return normal((c.usable() - draw) / c.VolumeSDL)
}

// makesVolume is the chance that every cask can give its draw.
func (m *model) makesVolume(drawn []float64) float64 {
	chance := 1.0
	for i, v := range drawn {
		chance *= m.casks[i].holds(v)
	}
	return chance
}

// mostMargins is how often the margin is halved in on.
const mostMargins = 14

// marginForChance finds the least margin at which the best plan reaches the
// chance asked for. possible is false when none does, and the margin is then
// the one that would be safe whichever vessels are used.
func (p *Plan) marginForChance() (margin float64, possible bool, err error) {
	if p.Chance == 0 {
		return 0, true, nil
	}
	uncertain := 0
	for i := range p.Sources {
		if p.Sources[i].VolumeSDL > 0 && !p.Sources[i].MustNotUse {
			uncertain++
		}
	}
	ok, chance, err := p.tryMargin(0)
	if err != nil || !ok || chance >= p.Chance {
		return 0, true, err // an impossible plan shows itself when it is solved
	}
	// With the greatest margin each of the uncertain vessels is safe enough for
	// all of them together, so a plan that exists reaches the chance. What is
	// impossible with one margin is so with more.
	safe := normalAt(math.Pow(p.Chance, 1/float64(max(1, uncertain))))
	low, high := 0.0, safe
	found, try := -1.0, safe
	for range mostMargins {
		ok, chance, err := p.tryMargin(try)
		if err != nil {
			return 0, false, err
		}
		if ok && chance < p.Chance {
			low = try
		} else {
			high = try
		}
		if ok && chance >= p.Chance {
			found = try
		}
		try = (low + high) / 2
	}
	if found < 0 {
		return safe, false, nil
	}
	return found, true, nil
}

// tryMargin says whether there is a plan with a margin, and how sure it is.
func (p *Plan) tryMargin(margin float64) (possible bool, chance float64, err error) {
	m := build(p, terms{margin: margin})
	s, err := m.best()
	if err != nil || s.Status == lp.Infeasible || s.X == nil {
		return false, 0, err
	}
	return true, m.makesVolume(m.drawn(s.X)), nil
}

// chanceOf describes how sure a plan is; nil when the stock is taken as certain.
func (m *model) chanceOf(drawn []float64) *Chance {
	out := &Chance{MakesVolume: m.makesVolume(drawn), Asked: m.plan.Chance, MarginSD: m.margin}
	uncertain := m.plan.Chance > 0
	for i, v := range drawn {
		c := &m.casks[i]
		if v <= 0 || c.VolumeSDL == 0 && c.StrengthSD == 0 {
			continue
		}
		uncertain = true
		if holds := c.holds(v); holds < 0.999 {
			out.Vessels = append(out.Vessels, Shortage{c.ID, holds})
		}
	}
	if !uncertain {
		return nil
	}
	out.GaugeFirst = m.gaugeFirst(drawn, out.MakesVolume)
	return out
}

// gaugeFirst names the vessel most likely to run short; when none is, the one
// that most of the spread in strength comes from.
func (m *model) gaugeFirst(drawn []float64, makes float64) *Gauging {
	short, spread := -1, -1
	variance, total := 0.0, 0.0
	for i, v := range drawn {
		c := &m.casks[i]
		total += v
		variance += square(v * c.StrengthSD)
		if c.holds(v) < 0.999 && (short < 0 || c.holds(v) < m.casks[short].holds(drawn[short])) {
			short = i
		}
		if v*c.StrengthSD > 0 && (spread < 0 || v*c.StrengthSD > drawn[spread]*m.casks[spread].StrengthSD) {
			spread = i
		}
	}
	best, why := short, "it is the one most likely to hold less than its draw"
	if short < 0 {
		best, why = spread, "most of the uncertainty in strength comes from it"
	}
	if best < 0 {
		return nil
	}
	c := &m.casks[best]
	return &Gauging{
		c.ID, why, makes / math.Max(c.holds(drawn[best]), 1e-300),
		math.Sqrt(math.Max(0, variance-square(drawn[best]*c.StrengthSD))) / m.volume(),
	}
}

// volume is what all targets come to.
func (m *model) volume() float64 {
	sum := 0.0
	for i := range m.goals {
		sum += m.goals[i].VolumeL
	}
	return sum
}

// nearestChance finds the greatest chance that a plan can have, in whole per cents.
func (q *inquiry) nearestChance(w wish) (float64, bool, error) {
	for pct := math.Ceil(100*w.from) - 1; pct >= 100*aChance.low; pct-- {
		p := copyPlan(q.plan)
		w.set(&p, pct/100)
		_, ok, err := p.marginForChance()
		if err != nil || ok {
			return pct / 100, ok, err
		}
	}
	return 0, false, nil
}
