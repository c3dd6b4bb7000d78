package blend

import (
	"math"
	"math/bits"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// anyPlan draws a plan of a family; rapid shrinks and prints its seed.
func anyPlan(t *rapid.T, f family) Plan {
	seed := rapid.Uint64().Draw(t, "seed")
	return randomPlan(rand.New(rand.NewPCG(seed, 46)), f)
}

func solved(t failing, p Plan) Result {
	t.Helper()
	r, err := Solve(p)
	if err != nil {
		t.Fatalf("%v\n%s", err, asJSON(p))
	}
	return r
}

// TestOrderDoesNotMatter: the same vessels in another order get the same plan.
func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPlan(t, family{sources: 12, targets: 2, integer: true})
		first := solved(t, p)
		shuffled := copyPlan(&p)
		shuffled.Sources = rapid.Permutation(p.Sources).Draw(t, "order")
		second := solved(t, shuffled)
		// The clash tells places in the file, which did change.
		first.ClashPaths, second.ClashPaths = nil, nil
		first.Clash, second.Clash, first.Nearest, second.Nearest = nil, nil, nil, nil
		first.Work, second.Work = Work{}, Work{}
		if asJSON(first) != asJSON(second) {
			t.Fatalf("two answers:\n%s\n%s", asJSON(first), asJSON(second))
		}
	})
}

// TestMoreStockNeverHurts: with more in a vessel that may be drawn on in any
// amount the best plan is as good or better.
func TestMoreStockNeverHurts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPlan(t, family{sources: 10, targets: 1, integer: true})
		before := solved(t, p)
		more := copyPlan(&p)
		i := rapid.IntRange(0, len(p.Sources)-1).Draw(t, "vessel")
		if more.Sources[i].Whole {
			return
		}
		more.Sources[i].AvailableL *= 1 + rapid.Float64Range(0, 2).Draw(t, "more")
		after := solved(t, more)
		if before.Status != StatusOptimal {
			return
		}
		recheck(t, p, before)
		if after.Status != StatusOptimal || after.Objective > before.Objective+1e-7*(1+math.Abs(before.Objective)) {
			t.Fatalf("with more in %s the answer went from %g to %s %g", more.Sources[i].ID, before.Objective, after.Status, after.Objective)
		}
	})
}

// TestClashIsIrreducible: the clashing wishes cannot be met together, and
// without any one of them the rest can.
func TestClashIsIrreducible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPlan(t, family{sources: 8, targets: 2, integer: true})
		if solved(t, p).Status != StatusInfeasible {
			return
		}
		p.settleReduction()
		q := &inquiry{plan: &p}
		clash, err := q.clash()
		if err != nil {
			t.Fatal(err)
		}
		if idle := idleStrength(q, clash); idle != nil {
			// No strength at all makes the volume: that is tried one by one.
			if ok, err := q.someStrength(clash, *idle); ok || err != nil {
				t.Fatalf("the clash can be met at some strength: %v", err)
			}
			return
		}
		if ok, err := q.possible(clash); ok || err != nil {
			t.Fatalf("the clash can be met after all: %v", err)
		}
		for i, w := range clash {
			if ok, err := q.possible(joined(clash[:i], clash[i+1:])); !ok || err != nil {
				t.Fatalf("without %q the rest still clashes: %v", w.words, err)
			}
		}
	})
}

// idleStrength is the strength of a target whose volume clashes without it.
func idleStrength(q *inquiry, clash []wish) *wish {
	for i, w := range q.wishes {
		if w.kind != strengthWish || !holdsVolume(clash, w.goal) {
			continue
		}
		in := false
		for _, c := range clash {
			in = in || c.path == w.path
		}
		if !in {
			return &q.wishes[i]
		}
	}
	return nil
}

// TestNearestWorks: each change offered makes a plan that works.
func TestNearestWorks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPlan(t, family{sources: 8, targets: 1, integer: true})
		r := solved(t, p)
		if r.Status != StatusInfeasible {
			return
		}
		for _, c := range r.Nearest.Changes {
			changed, err := Apply(p, c)
			if err != nil {
				t.Fatalf("%+v: %v", c, err)
			}
			after := solved(t, changed)
			if after.Status != StatusOptimal {
				t.Fatalf("%s to %v does not help", c.Path, *c.To)
			}
			recheck(t, changed, after)
		}
		changed := p
		for _, c := range r.Nearest.Together {
			var err error
			if changed, err = Apply(changed, c); err != nil {
				t.Fatalf("%+v: %v", c, err)
			}
		}
		if len(r.Nearest.Together) > 0 && solved(t, changed).Status != StatusOptimal {
			t.Fatalf("together, %s does not help", asJSON(r.Nearest.Together))
		}
	})
}

// TestTiesGoToFewerVessels tries every smaller set of vessels by excluding the
// rest, and every set of the same size that comes before by id: none is as good.
func TestTiesGoToFewerVessels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPlan(t, family{sources: 6, targets: 1, integer: rapid.Bool().Draw(t, "integer")})
		for i := range p.Sources { // many ties
			cost, age := math.Round(*p.Sources[i].CostPerL/10), 365*math.Round(*p.Sources[i].AgeDays/1000)
			p.Sources[i].CostPerL, p.Sources[i].AgeDays = &cost, &age
			p.Sources[i].MustUse = false
		}
		r := solved(t, p)
		if r.Status != StatusOptimal {
			return
		}
		chosen := maskOf(p, r)
		for mask := range 1 << len(p.Sources) {
			fewer := bits.OnesCount(uint(mask)) < bits.OnesCount(uint(chosen))
			same := bits.OnesCount(uint(mask)) == bits.OnesCount(uint(chosen))
			if !fewer && !(same && comesBefore(mask, chosen)) {
				continue
			}
			only := copyPlan(&p)
			for i := range only.Sources {
				only.Sources[i].MustNotUse = only.Sources[i].MustNotUse || mask>>i&1 == 0
			}
			m := build(&only, terms{})
			s, err := m.solve()
			if err != nil {
				t.Fatal(err)
			}
			if s.X == nil || s.Objective > r.Objective+1e-9*(1+math.Abs(r.Objective)) {
				continue
			}
			if got := len(m.used(s.X)); got < bits.OnesCount(uint(chosen)) || same && usesAtLeast(m, s.X, LeastDraw) && got == bits.OnesCount(uint(mask)) {
				t.Fatalf("vessels %b would do as well as %b: %g against %g", mask, chosen, s.Objective, r.Objective)
			}
		}
	})
}

func usesAtLeast(m *model, x []float64, least float64) bool {
	for _, v := range m.drawn(x) {
		if v > 0 && v < least {
			return false
		}
	}
	return true
}

func maskOf(p Plan, r Result) (mask int) {
	for i := range p.Sources {
		for _, d := range r.Draws {
			if d.ID == p.Sources[i].ID {
				mask |= 1 << i
			}
		}
	}
	return mask
}

// comesBefore compares two sets of the same size by their lists of ids, which
// here go up with the place.
func comesBefore(a, b int) bool {
	differ := a ^ b
	return differ != 0 && a&(differ&-differ) != 0
}
