package blend

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// lpText writes a plan with one target in the CPLEX LP format that glpsol
// reads: x a draw, z whether it is made, w water, over and under the distances.
// It is written from the plan, apart from the program that Croze solves.
func lpText(p Plan) string {
	p.settleReduction()
	g := p.goals()[0]
	lpa := g.VolumeL * g.StrengthPct / 100
	var cost, alcohol, mass, count lpSide
	var rows, bounds, binaries []string
	for i, s := range p.Sources {
		if s.MustNotUse || *s.AgeDays < g.Limits.MinAgeDays {
			continue
		}
		x, z := fmt.Sprint("x", i), fmt.Sprint("z", i)
		high := math.Min(s.usable(), 1.3*g.VolumeL)
		cost.add(litreCost(p.Objective, &p.Sources[i]), x)
		alcohol.add(s.StrengthPct/100, x)
		mass.add(density(s.StrengthPct), x)
		bounds = append(bounds, fmt.Sprintf("%.17g <= %s <= %.17g", mustGive(&s), x, high))
		if p.Objective != FewestVessels && g.Limits.MaxVessels == 0 && s.MinL == 0 && !s.Whole {
			continue
		}
		least := s.MinL
		if s.Whole {
			least = s.usable()
		}
		rows = append(rows, fmt.Sprintf("%s - %.17g %s <= 0", x, high, z), fmt.Sprintf("%s - %.17g %s >= 0", x, least, z))
		binaries = append(binaries, z)
		count.add(1, z)
		if p.Objective == FewestVessels {
			cost.add(1, z)
		}
	}
	if p.Water {
		mass.add(waterDensity, "w")
		if p.Objective == LeastWater {
			cost.add(1, "w")
		}
	}
	rows = append(rows, alcohol.is("=", lpa), mass.is("=", g.VolumeL*density(g.StrengthPct)))
	if g.Limits.MaxVessels > 0 {
		rows = append(rows, count.is("<=", float64(g.Limits.MaxVessels)))
	}
	rows = append(rows, bandRows(p, g)...)
	if p.Objective == ClosestScores {
		rows = append(rows, distanceRows(p, g, &cost)...)
	}
	return "Minimize\n cost: " + cost.text("x0") + "\nSubject To\n " + strings.Join(rows, "\n ") +
		"\nBounds\n " + strings.Join(bounds, "\n ") + "\nBinaries\n " + strings.Join(binaries, "\n ") + "\nEnd\n"
}

func mustGive(s *Source) float64 {
	if !s.MustUse {
		return 0
	}
	return math.Max(s.MinL, math.Min(LeastDraw, s.usable()))
}

// lpSide is one side of a row as it is written.
type lpSide []string

func (t *lpSide) add(v float64, name string) { *t = append(*t, fmt.Sprintf("%+.17g %s", v, name)) }
func (t lpSide) text(otherwise string) string {
	if len(t) == 0 {
		return "0 " + otherwise
	}
	return strings.Join(t, "\n ")
}

func (t lpSide) is(sign string, v float64) string {
	return fmt.Sprintf("%s %s %.17g", t.text("x0"), sign, v)
}

// weighted sums a figure of each usable source by alcohol.
func weighted(p Plan, g Target, of func(*Source) float64) (t lpSide) {
	for i := range p.Sources {
		s := &p.Sources[i]
		if !s.MustNotUse && *s.AgeDays >= g.Limits.MinAgeDays {
			t.add(s.StrengthPct/100*of(s), fmt.Sprint("x", i))
		}
	}
	return t
}

func bandRows(p Plan, g Target) (rows []string) {
	lpa := g.VolumeL * g.StrengthPct / 100
	add := func(b Band, of func(*Source) float64) {
		if b.Min != nil {
			rows = append(rows, weighted(p, g, of).is(">=", *b.Min*lpa))
		}
		if b.Max != nil {
			rows = append(rows, weighted(p, g, of).is("<=", *b.Max*lpa))
		}
	}
	for _, b := range g.Limits.Shares {
		add(b, func(s *Source) float64 { return s.Shares[b.Of] })
	}
	for _, b := range g.Limits.Scores {
		add(b, func(s *Source) float64 { return s.Scores[b.Of] })
	}
	return rows
}

func distanceRows(p Plan, g Target, cost *lpSide) (rows []string) {
	lpa := g.VolumeL * g.StrengthPct / 100
	for _, name := range names(p.Wanted) {
		weight, given := p.Weights[name]
		if !given {
			weight = 1
		}
		t := weighted(p, g, func(s *Source) float64 { return s.Scores[name] })
		t.add(-lpa, "over_"+name)
		t.add(lpa, "under_"+name)
		rows = append(rows, t.is("=", p.Wanted[name]*lpa))
		cost.add(weight, "over_"+name)
		cost.add(weight, "under_"+name)
	}
	return rows
}

// glpsol runs GLPK on a file and returns its status letter and objective.
func glpsol(t testing.TB, file string) (status string, objective float64) {
	t.Helper()
	answer := file + ".out"
	if out, err := exec.Command("glpsol", "--lp", file, "--mipgap", "0", "--write", answer).CombinedOutput(); err != nil {
		t.Fatalf("glpsol (Debian glpk-utils) did not run: %v\n%s", err, out)
	}
	text, err := os.ReadFile(answer)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		f := strings.Fields(line)
		if len(f) == 0 || f[0] != "s" {
			continue
		}
		objective, err = strconv.ParseFloat(f[len(f)-1], 64)
		if err != nil {
			t.Fatal(err)
		}
		return strings.Join(f[4:len(f)-1], ""), objective // primal and dual status, or that of the whole-number problem
	}
	t.Fatalf("no answer in %s", text)
	return "", 0
}

// TestAgainstGLPK asks a third solver, since the second has been seen to err.
func TestAgainstGLPK(t *testing.T) {
	const seed = 6
	random := rand.New(rand.NewPCG(seed, 46))
	file := filepath.Join(t.TempDir(), "plan.lp")
	feasible := 0
	for i := range 80 {
		p := randomPlan(random, family{sources: 16, targets: 1, integer: i%2 == 0})
		if len(p.Sources) > 0 && p.Sources[0].MustNotUse {
			p.Sources[0].MustNotUse = false // x0 stands in for rows of nothing
		}
		if err := os.WriteFile(file, []byte(lpText(p)), 0o600); err != nil {
			t.Fatal(err)
		}
		status, objective := glpsol(t, file)
		r := solved(t, p)
		if found := status == "o" || status == "ff"; found != (r.Status == StatusOptimal) {
			t.Errorf("seed %d, plan %d: Croze says %s, GLPK %q\n%s", seed, i, r.Status, status, asJSON(p))
			continue
		}
		if r.Status != StatusOptimal {
			continue
		}
		feasible++
		if math.Abs(r.Objective-objective) > 1e-6*math.Max(1, math.Abs(objective)) {
			t.Errorf("seed %d, plan %d: objective %.10g, GLPK has %.10g\n%s", seed, i, r.Objective, objective, asJSON(p))
		}
	}
	if feasible < 20 {
		t.Errorf("only %d of the plans were feasible", feasible)
	}
}
