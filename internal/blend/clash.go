package blend

import (
	"errors"

	"example.org/croze/internal/blend/lp"
)

// clashEffort bounds each question asked while looking for a clash, and
// inquiryEffort all of them together; one that is not settled counts as possible
// in a clash and as impossible in a change. See lp.DefaultEffort.
const (
	clashEffort   = 300_000_000
	inquiryEffort = 4_000_000_000
	leastEffort   = 1_000_000
)

// inquiry is a plan that cannot be met, being asked why.
type inquiry struct {
	plan   *Plan
	margin float64
	wishes []wish
	work   Work
	effort int64
}

// copyPlan copies what dropping and setting wishes may change.
func copyPlan(p *Plan) Plan {
	c := *p
	c.Sources = append([]Source(nil), p.Sources...)
	c.Limits = copyLimits(p.Limits)
	if p.Target != nil {
		t := *p.Target
		t.Limits = copyLimits(t.Limits)
		c.Target = &t
	}
	c.Targets = append([]Target(nil), p.Targets...)
	for i := range c.Targets {
		c.Targets[i].Limits = copyLimits(c.Targets[i].Limits)
	}
	return c
}

func copyLimits(l *Limits) *Limits {
	if l == nil {
		return nil
	}
	c := *l
	c.Shares = append([]Band(nil), l.Shares...)
	c.Scores = append([]Band(nil), l.Scores...)
	return &c
}

// without is the plan with some wishes dropped. What best means plays no part
// in whether a plan is possible, but closeness to scores does leave out what has none.
func (q *inquiry) without(dropped []wish) *model {
	p := copyPlan(q.plan)
	on := terms{margin: q.margin}
	for _, w := range dropped {
		w.drop(&p, &on)
	}
	if p.Objective != ClosestScores {
		p.Objective = LeastWater
	}
	m := build(&p, on)
	m.program.ClearCosts()
	m.program.MostEffort = max(leastEffort, min(clashEffort, inquiryEffort-q.effort))
	return m
}

// possible says whether a plan that keeps only some wishes might be met.
func (q *inquiry) possible(kept []wish) (bool, error) {
	s, err := q.keeping(kept)
	return s.Status != lp.Infeasible, err
}

// shown says whether a plan that keeps only some wishes has been found.
func (q *inquiry) shown(kept []wish) (bool, error) {
	s, err := q.keeping(kept)
	return s.X != nil, err
}

func (q *inquiry) keeping(kept []wish) (lp.Solution, error) {
	keep := make(map[string]bool, len(kept))
	for _, w := range kept {
		keep[w.path] = true
	}
	var dropped []wish
	for _, w := range q.wishes {
		if !keep[w.path] {
			dropped = append(dropped, w)
		}
	}
	return q.ask(q.without(dropped))
}

func (q *inquiry) ask(m *model) (lp.Solution, error) {
	s, err := m.solve()
	q.work.Pivots += s.Pivots
	q.work.Nodes += s.Nodes
	q.effort += s.Effort
	if errors.Is(err, lp.ErrSingular) {
		return lp.Solution{Status: lp.Unproven}, nil // on a knife's edge: not known
	}
	return s, err
}

// clash finds an irreducible set of wishes that cannot be met together: take
// any one of them out and the rest can. It is found by halving (QuickXplain,
// Junker 2004), rules that stand at many sources first as one wish each and
// then spelled out.
func (q *inquiry) clash() ([]wish, error) {
	q.wishes = append(ruleWishes(q.plan), wishesOf(q.plan)...)
	found, err := q.irreducible(q.wishes)
	if err != nil {
		return nil, err
	}
	var spelled []wish
	rulesFound := false
	for _, w := range found {
		singles := singleWishes(q.plan, w.path)
		rulesFound = rulesFound || len(singles) > 0
		if len(singles) == 0 {
			singles = []wish{w}
		}
		spelled = append(spelled, singles...)
	}
	q.wishes = q.respelled()
	if rulesFound {
		if found, err = q.irreducible(spelled); err != nil {
			return nil, err
		}
	}
	return q.withoutIdleStrength(found)
}

// respelled is every wish, with rules spelled out source by source.
func (q *inquiry) respelled() (all []wish) {
	for _, r := range rules {
		all = append(all, singleWishes(q.plan, r.field)...)
	}
	return append(all, wishesOf(q.plan)...)
}

// irreducible narrows wishes that cannot be met together to a set of which
// every member is needed. With none at all impossible, the set is empty.
func (q *inquiry) irreducible(wishes []wish) ([]wish, error) {
	if ok, err := q.possible(nil); err != nil || !ok {
		return nil, err
	}
	return q.halve(nil, false, wishes)
}

// halve finds the members of a clash among wishes, given that the background
// is kept; grown says that the background has grown since it was last tried.
func (q *inquiry) halve(background []wish, grown bool, wishes []wish) ([]wish, error) {
	if grown {
		if ok, err := q.possible(background); err != nil || !ok {
			return nil, err
		}
	}
	if len(wishes) <= 1 {
		return wishes, nil
	}
	first, second := wishes[:len(wishes)/2], wishes[len(wishes)/2:]
	late, err := q.halve(joined(background, first), true, second)
	if err != nil {
		return nil, err
	}
	early, err := q.halve(joined(background, late), len(late) > 0, first)
	return joined(early, late), err
}

func joined(a, b []wish) []wish { return append(append([]wish(nil), a...), b...) }

// withoutIdleStrength takes the strength out of a clash when no strength at
// all would make the volume.
func (q *inquiry) withoutIdleStrength(found []wish) ([]wish, error) {
	for i, w := range found {
		if w.kind != strengthWish || !holdsVolume(found, w.goal) {
			continue
		}
		rest := joined(found[:i], found[i+1:])
		helps, err := q.someStrength(rest, w)
		if err != nil {
			return nil, err
		}
		if !helps {
			return q.withoutIdleStrength(rest)
		}
	}
	return found, nil
}

func holdsVolume(wishes []wish, goal int) bool {
	for _, w := range wishes {
		if w.kind == volumeWish && w.goal == goal {
			return true
		}
	}
	return false
}

// someStrength tries whole per cents and the vessels' own strengths, which are
// the ends of what they make without water, for one at which the rest is possible.
func (q *inquiry) someStrength(rest []wish, strength wish) (bool, error) {
	kept := joined(rest, []wish{strength})
	original := q.plan
	defer func() { q.plan = original }()
	for _, pct := range q.strengthsToTry(strength.from) {
		p := copyPlan(original)
		strength.set(&p, pct)
		q.plan = &p
		if ok, err := q.possible(kept); err != nil || ok {
			return ok, err
		}
	}
	return false, nil
}
