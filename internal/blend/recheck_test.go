package blend

import (
	"math"

	"example.org/croze/internal/spirit"
)

// failing is what recheck needs of a test.
type failing interface {
	Helper()
	Fatalf(format string, args ...any)
}

// recheck holds a plan against its wishes from the draws alone, by adding up
// masses in whole milligrams, apart from the program that was solved.
func recheck(t failing, p Plan, r Result) {
	t.Helper()
	makings := r.Targets
	if len(makings) == 0 {
		makings = []Making{{Draws: r.Draws, WaterL: r.WaterL, WaterKg: r.WaterKg, Made: *r.Made}}
	}
	p.settleReduction()
	sources := map[string]*Source{}
	for i := range p.Sources {
		sources[p.Sources[i].ID] = &p.Sources[i]
	}
	total := map[string]float64{}
	for i, g := range p.goals() {
		recheckMass(t, g, makings[i], sources)
		recheckLimits(t, g, makings[i], sources)
		for _, d := range makings[i].Draws {
			total[d.ID] += d.VolumeL
		}
		if !p.Water && makings[i].WaterL != 0 {
			t.Fatalf("water was added against the wish")
		}
	}
	for id, s := range sources {
		v, usable := total[id], s.usable()
		slack := 1e-7 * usable
		switch {
		case v > usable+slack:
			t.Fatalf("%s gives %g L and has %g to give", id, v, usable)
		case s.Whole && v > 0 && v < usable-slack:
			t.Fatalf("%s gives %g L of %g and is to be used wholly", id, v, usable)
		case s.MustUse && v < math.Min(LeastDraw, usable)-slack:
			t.Fatalf("%s must be used and gives %g L", id, v)
		case s.MustNotUse && v > 0:
			t.Fatalf("%s must not be used and gives %g L", id, v)
		}
	}
}

func recheckMass(t failing, g Target, m Making, sources map[string]*Source) {
	t.Helper()
	sum, err := spirit.Water(spirit.Kilograms(m.WaterKg))
	if err != nil {
		t.Fatalf("%v", err)
	}
	for _, d := range m.Draws {
		a, err := spirit.AmountOf(spirit.Litres(d.VolumeL), spirit.Strength(sources[d.ID].StrengthPct))
		if err != nil {
			t.Fatalf("%v", err)
		}
		if math.Abs(float64(a.Mass())-d.MassKg) > 2e-6 {
			t.Fatalf("%s: %g L weigh %g kg, the plan says %g", d.ID, d.VolumeL, float64(a.Mass()), d.MassKg)
		}
		sum = sum.Add(a)
	}
	// Each amount is rounded to the milligram twice.
	rounding := 2e-6 * float64(1+len(m.Draws))
	if off := math.Abs(float64(sum.Volume()) - g.VolumeL); off > 2*rounding+1e-7*g.VolumeL {
		t.Fatalf("the draws come to %g L, %g wanted", float64(sum.Volume()), g.VolumeL)
	}
	if off := math.Abs(float64(sum.Strength()) - g.StrengthPct); off > 200*rounding/g.VolumeL+1e-6 {
		t.Fatalf("the draws come to %g %%, %g wanted", float64(sum.Strength()), g.StrengthPct)
	}
}

func recheckLimits(t failing, g Target, m Making, sources map[string]*Source) {
	t.Helper()
	l := g.Limits
	if l.MaxVessels > 0 && len(m.Draws) > l.MaxVessels {
		t.Fatalf("%d vessels are used, at most %d wanted", len(m.Draws), l.MaxVessels)
	}
	alcohol := 0.0
	for _, d := range m.Draws {
		s := sources[d.ID]
		alcohol += d.VolumeL * s.StrengthPct / 100
		if l.MinAgeDays > 0 && *s.AgeDays < l.MinAgeDays {
			t.Fatalf("%s is %g days old", d.ID, *s.AgeDays)
		}
		if d.VolumeL < s.MinL*(1-1e-7) {
			t.Fatalf("%s gives %g L, at least %g wanted", d.ID, d.VolumeL, s.MinL)
		}
	}
	average := func(of func(*Source) float64) float64 {
		sum := 0.0
		for _, d := range m.Draws {
			s := sources[d.ID]
			sum += d.VolumeL * s.StrengthPct / 100 * of(s) / alcohol
		}
		return sum
	}
	for _, b := range l.Shares {
		b.recheck(t, average(func(s *Source) float64 { return s.Shares[b.Of] }))
	}
	for _, b := range l.Scores {
		b.recheck(t, average(func(s *Source) float64 { return s.Scores[b.Of] }))
	}
}

func (b Band) recheck(t failing, v float64) {
	t.Helper()
	if b.Min != nil && v < *b.Min-1e-6 || b.Max != nil && v > *b.Max+1e-6 {
		t.Fatalf("%s comes to %g", b.Of, v)
	}
}
