package blend

import (
	"errors"
	"fmt"
	"math"

	"example.org/croze/internal/blend/lp"
	"example.org/croze/internal/spirit"
)

// Solve works a plan out. A plan that cannot be met is no error: its Result
// has StatusInfeasible and says why. The error is an *InvalidPlan, ErrTooHard, or
// says that the arithmetic failed its own check.
func Solve(p Plan) (Result, error) {
	if err := p.ready(); err != nil {
		return Result{}, err
	}
	margin, possible, err := p.marginForChance()
	if err != nil {
		return Result{}, err
	}
	m := build(&p, terms{margin: margin})
	if !possible {
		return m.explain(Work{})
	}
	s, err := m.best()
	if err != nil {
		return Result{}, err
	}
	if s.Status == lp.Infeasible {
		return m.explain(Work{s.Pivots, s.Nodes})
	}
	return m.answer(s)
}

// ready checks the plan and settles what it leaves open.
func (p *Plan) ready() error {
	if err := p.Check(); err != nil {
		return err
	}
	if err := p.filled(); err != nil {
		return err
	}
	p.settleReduction()
	return nil
}

// answer writes a solution out.
func (m *model) answer(s lp.Solution) (Result, error) {
	r := Result{Status: StatusOptimal, By: m.plan.objective(), Draws: []Draw{}, LeftOut: m.leftOut(), Work: Work{s.Pivots, s.Nodes}}
	if s.Status == lp.Unproven {
		if s.X == nil {
			return r, ErrTooHard
		}
		r.Status, r.Bound = StatusUnproven, &s.Bound
	}
	r.Objective = s.Objective
	return r, m.report(&r, s.X)
}

// ErrTooHard says that no plan was found within the work allowed, and that
// none is possible was not shown either. It is very rare: many whole vessels that
// must come to an exact volume and strength, for one.
var ErrTooHard = errors.New("no plan was found within the work allowed, nor shown to be impossible; loosen whole, min_l or max_vessels")

// filled refuses sources that only name a vessel.
func (p *Plan) filled() error {
	found := &problems{}
	for i := range p.Sources {
		if s := &p.Sources[i]; s.given.unfilled {
			found.add(fmt.Sprintf("sources[%d]", i), "%q has no available_l and strength_pct; give them, or a store to take them from", s.ID)
		}
	}
	return found.err()
}

// settleReduction gives a reduction of the whole of a vessel its volume.
func (p *Plan) settleReduction() {
	if p.Kind != KindReduction || p.Target.VolumeL != 0 {
		return
	}
	s := &p.Sources[0]
	target := *p.Target
	p.Target = &target
	if target.StrengthPct > s.StrengthPct || s.usable() == 0 {
		p.Target.VolumeL = max(s.usable(), LeastDraw) // impossible, and shown to be
		return
	}
	p.Target.VolumeL = s.usable() * s.StrengthPct / target.StrengthPct // the alcohol stays the same
}

func (m *model) leftOut() []LeftOut {
	var out []LeftOut
	for i := range m.casks {
		c := &m.casks[i]
		for g := range m.goals {
			if why := m.barred(c, &m.goals[g]); why != "" && !c.MustNotUse {
				if len(m.goals) > 1 {
					why = fmt.Sprintf("%s (for %s)", why, m.goals[g].title(g))
				}
				out = append(out, LeftOut{c.ID, why})
			}
		}
	}
	return out
}

func (g *Target) title(i int) string {
	if g.Name != "" {
		return g.Name
	}
	return fmt.Sprintf("target %d", i+1)
}

// errDrift says that the plan, worked out again from masses, is not what was asked for.
var errDrift = errors.New("blend: the plan does not come out at its target when checked in masses")

// report writes the solution into the result and checks it in masses.
func (m *model) report(r *Result, x []float64) error {
	total := m.drawn(x)
	r.Chance = m.chanceOf(total)
	for i := range m.parts {
		made, err := m.making(&m.parts[i], x)
		if err != nil {
			return err
		}
		made.Name = m.parts[i].goal.Name
		r.WaterL += made.WaterL
		r.WaterKg += made.WaterKg
		r.Targets = append(r.Targets, made)
	}
	if len(r.Targets) == 1 && len(m.plan.Targets) == 0 {
		r.Draws, r.Made = r.Targets[0].Draws, &r.Targets[0].Made
		r.Targets = nil
		r.Portions = m.plan.portions(r)
		return nil
	}
	for i := range m.casks {
		if v := total[i]; v > 0 {
			r.Draws = append(r.Draws, m.casks[i].draw(v))
		}
	}
	return nil
}

// portions divides a reduction by its measure.
func (p *Plan) portions(r *Result) []Portion {
	if p.Kind != KindReduction || p.PortionL == 0 {
		return nil
	}
	done := Reducing{
		WaterL: r.WaterL, WaterKg: r.WaterKg, VolumeL: r.Made.VolumeL,
		WeighsKg: weighed(r.WaterKg, waterDensity),
	}
	return portions(r.Draws[0].VolumeL, done, min(MostPortions, portionsFor(done.VolumeL, p.PortionL)))
}

// draw describes a draw of v litres.
func (c *cask) draw(v float64) Draw {
	mass := v * c.mass
	return Draw{c.ID, v, mass, weighed(mass, c.mass)}
}

// weighed is what a balance in air shows for a mass of a density in kg/L.
func weighed(mass, density float64) float64 {
	w, err := spirit.WeighedOfMass(spirit.Kilograms(mass), spirit.Density(density*1000))
	if err != nil {
		return mass
	}
	return float64(w)
}

func (m *model) making(pt *part, x []float64) (Making, error) {
	out := Making{Draws: []Draw{}}
	var alcohol, mass float64
	for _, u := range pt.draws {
		if v := x[u.column]; v > 0 {
			c := &m.casks[u.cask]
			out.Draws = append(out.Draws, c.draw(v))
			alcohol += v * c.alcohol
			mass += v * c.mass
		}
	}
	if pt.water >= 0 {
		out.WaterL = x[pt.water]
		out.WaterKg = out.WaterL * waterDensity
	}
	made, err := mixture(alcohol, mass+out.WaterKg)
	if err != nil {
		return out, err
	}
	m.describe(pt, x, &made)
	out.Made = made
	g := pt.goal
	if math.Abs(made.VolumeL-g.VolumeL) > 1e-6*g.VolumeL || math.Abs(made.StrengthPct-g.StrengthPct) > 1e-6*g.StrengthPct {
		return out, fmt.Errorf("%w: %.9g L at %.9g %%", errDrift, made.VolumeL, made.StrengthPct)
	}
	return out, nil
}

// mixture is what litres of pure alcohol in a mass (kg) come to; nothing is nothing.
func mixture(alcohol, mass float64) (Made, error) {
	if mass <= 0 {
		return Made{}, nil
	}
	ethanol := alcohol * float64(spirit.EthanolDensity) / 1000
	p := spirit.MassFraction(math.Min(1, ethanol/mass))
	d, err := spirit.DensityOf(p, spirit.Reference)
	if err != nil {
		return Made{}, err
	}
	q, err := p.Strength()
	if err != nil {
		return Made{}, err
	}
	return Made{VolumeL: 1000 * mass / float64(d), StrengthPct: float64(q), PureAlcoholL: alcohol, MassKg: mass}, nil
}
