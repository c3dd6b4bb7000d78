package blend

import (
	"fmt"
	"strings"
)

// explain says why a plan cannot be met and what could be.
func (m *model) explain(work Work) (Result, error) {
	r := Result{Status: StatusInfeasible, By: m.plan.objective(), Draws: []Draw{}, LeftOut: m.leftOut()}
	q := &inquiry{plan: m.plan, margin: m.margin, work: work}
	clash, err := q.clash()
	if err != nil {
		return r, err
	}
	for _, w := range clash {
		r.Clash = append(r.Clash, w.words)
		r.ClashPaths = append(r.ClashPaths, w.path)
	}
	if len(clash) == 0 {
		r.Clash = []string{"no vessel that may be used holds any alcohol"}
	}
	if r.Nearest, err = q.nearest(clash); err != nil {
		return r, err
	}
	reachable, err := reach(m.plan, m.margin)
	if err != nil {
		return r, err
	}
	r.Reachable = &reachable
	r.Because = m.because(&reachable)
	r.Work = q.work
	return r, nil
}

// because puts the stock's side into words: what there is of the strength wanted.
func (m *model) because(reachable *Reachable) string {
	if len(m.goals) != 1 {
		return ""
	}
	goal := &m.goals[0]
	var alcohol, strongest, weakest float64
	ids := 0
	for i := range m.casks {
		c := &m.casks[i]
		if m.barred(c, goal) != "" {
			continue
		}
		alcohol += m.holding(c) * c.alcohol
		strongest = max(strongest, c.StrengthPct)
		if ids == 0 || c.StrengthPct < weakest {
			weakest = c.StrengthPct
		}
		ids++
	}
	if ids == 0 {
		return "no vessel may be used"
	}
	parts := []string{fmt.Sprintf("the vessels that may be used hold %.2f L of pure alcohol, at %.1f to %.1f %% vol, and %.2f L are needed",
		alcohol, weakest, strongest, goal.VolumeL*goal.StrengthPct/100)}
	if reachable.VolumeHiL != nil {
		parts = append(parts, fmt.Sprintf("at %s %% vol they make at most %.2f L", plainNumber(goal.StrengthPct), *reachable.VolumeHiL))
	}
	return strings.Join(parts, "; ")
}
