package book

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/croze/internal/blend"
)

// MostAlternatives is how many plans stand side by side.
const MostAlternatives = 5

// Answer is what the bench has to say to a wish.
type Answer struct {
	Wish         blend.Plan // with the stock that it was worked out from
	Result       blend.Result
	Alternatives []blend.Alternative // the best first
	Left         []LeftLine          // vessels drawn on
	Repairs      []Repair            // when it cannot be met: the nearest that can
	Reach        blend.Reachable
}

// Possible says whether there is a plan.
func (a *Answer) Possible() bool { return a.Result.Status != blend.StatusInfeasible }

// LeftLine is what a plan leaves in a vessel that it draws on, and how that
// goes on: in a year it is a year older and has lost so much, if nothing is
// done to it.
type LeftLine struct {
	Vessel        string
	DrawnL, LeftL float64
	StrengthPct   float64
	YearsOld      *float64 // youngest part, on the day of the plan
	LossL         *float64 // in the year to come, at its present rate
}

// Emptied says whether next to nothing is left.
func (l LeftLine) Emptied() bool { return l.LeftL < nothingLeftL }

// nothingLeftL is less than hoses keep.
const nothingLeftL = 0.05

// Repair is a plan near the one asked for that can be made.
type Repair struct {
	Words string // what changes
	Plan  blend.Plan
}

// WorkOut solves a plan whose sources are all filled. It may take seconds for
// hard questions, so it is not done within See.
func WorkOut(wish blend.Plan) (Answer, error) {
	a := Answer{Wish: wish}
	var err error
	if a.Result, err = blend.Solve(wish); err != nil {
		return a, err
	}
	if !a.Possible() {
		a.Repairs = repairs(wish, a.Result)
		if a.Result.Reachable != nil {
			a.Reach = *a.Result.Reachable
		}
		return a, nil
	}
	if a.Alternatives, err = blend.Alternatives(wish, MostAlternatives); err != nil {
		return a, err
	}
	a.Left = leftLines(wish, a.Result)
	a.Reach, err = blend.Reach(wish)
	return a, err
}

// DrawsOf lists everything that a result draws, over all its targets.
func DrawsOf(r blend.Result) []blend.Draw {
	if len(r.Targets) == 0 {
		return r.Draws
	}
	var all []blend.Draw
	for _, making := range r.Targets {
		for _, d := range making.Draws {
			i := slices.IndexFunc(all, func(a blend.Draw) bool { return a.ID == d.ID })
			if i < 0 {
				all = append(all, d)
				continue
			}
			all[i].VolumeL += d.VolumeL
			all[i].MassKg += d.MassKg
			all[i].WeighsKg += d.WeighsKg
		}
	}
	return all
}

func leftLines(wish blend.Plan, r blend.Result) []LeftLine {
	var lines []LeftLine
	for _, d := range DrawsOf(r) {
		i := slices.IndexFunc(wish.Sources, func(s blend.Source) bool { return s.ID == d.ID })
		if i < 0 {
			continue
		}
		s := &wish.Sources[i]
		line := LeftLine{Vessel: d.ID, DrawnL: d.VolumeL, LeftL: math.Max(0, s.AvailableL-d.VolumeL), StrengthPct: s.StrengthPct}
		if s.AgeDays != nil {
			years := *s.AgeDays / daysPerYear
			line.YearsOld = &years
		}
		if s.LossPctPerYear != nil {
			loss := line.LeftL * *s.LossPctPerYear / 100
			line.LossL = &loss
		}
		lines = append(lines, line)
	}
	return lines
}

// repairs turns what is nearest into plans. Several wishes that have to go
// together are one repair.
func repairs(wish blend.Plan, r blend.Result) []Repair {
	if r.Nearest == nil {
		return nil
	}
	var out []Repair
	for _, c := range r.Nearest.Changes {
		if p, err := blend.Apply(wish, c); err == nil {
			out = append(out, Repair{sayChange(c), p})
		}
	}
	if p, err := applyAll(wish, r.Nearest.Together); err == nil && len(r.Nearest.Together) > 0 {
		out = append(out, Repair{"All of this: " + sayChanges(r.Nearest.Together), p})
	}
	return out
}

// applyAll makes changes last first: a limit that is dropped from a list moves
// only those behind it.
func applyAll(p blend.Plan, changes []blend.Change) (blend.Plan, error) {
	for _, c := range slices.Backward(changes) {
		var err error
		if p, err = blend.Apply(p, c); err != nil {
			return p, err
		}
	}
	return p, nil
}

func sayChanges(changes []blend.Change) string {
	text := ""
	for i, c := range changes {
		if i > 0 {
			text += "; "
		}
		text += sayChange(c)
	}
	return text
}

func sayChange(c blend.Change) string {
	if c.To == nil {
		return fmt.Sprintf("give up that %s", c.Wish)
	}
	return fmt.Sprintf("instead of “%s”, %s", c.Wish, sayNumber(c.Path, *c.To))
}

// sayNumber writes a number of a plan with the unit of its field.
func sayNumber(path string, x float64) string {
	share := strings.Contains(path, "shares[")
	switch {
	case strings.HasSuffix(path, "_l"):
		return fmt.Sprintf("%.6g L", x)
	case strings.HasSuffix(path, "strength_pct"):
		return fmt.Sprintf("%.5g %% vol", x)
	case strings.HasSuffix(path, "min_age_days"):
		return fmt.Sprintf("%.0f days", x)
	case strings.HasSuffix(path, "max_vessels"):
		return fmt.Sprintf("%.0f vessels", x)
	case strings.HasSuffix(path, "max_residue"):
		return fmt.Sprintf("%.3g g/100 mL", x)
	case strings.HasSuffix(path, "chance"), share:
		return fmt.Sprintf("%.4g %%", 100*x)
	}
	return fmt.Sprintf("%.4g", x)
}
