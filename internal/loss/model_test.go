package loss

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

func smallPlan(w *world) plan {
	return plan{world: w, casks: 12, sizes: []float64{20, 50, 200}, years: 3, samples: 10, least: 3, draws: 0.3, slips: 0.02, newWood: 0.4, topUps: 0.1}
}

// What was written down in another order gives the same numbers, to the last bit.
func TestOrderDoesNotMatter(t *testing.T) {
	s := simulate(smallPlan(seasonalWorld()), 3)
	first := Fit(s.stock)
	r := rand.New(rand.NewPCG(8, 8))
	mixed := Stock{Vessels: slices.Clone(s.stock.Vessels), Places: s.stock.Places}
	for i := range mixed.Vessels {
		events := slices.Clone(mixed.Vessels[i].Events)
		r.Shuffle(len(events), func(a, b int) { events[a], events[b] = events[b], events[a] })
		mixed.Vessels[i].Events = events
	}
	r.Shuffle(len(mixed.Vessels), func(a, b int) {
		mixed.Vessels[a], mixed.Vessels[b] = mixed.Vessels[b], mixed.Vessels[a]
	})
	second := Fit(mixed)
	for i, one := range second.States(s.now + 300) {
		a, _ := first.State(s.stock.Vessels[i].Code, s.now+300)
		if !reflect.DeepEqual(a, one) {
			t.Fatalf("all at once %+v, alone %+v", one, a)
		}
	}
	for _, v := range s.stock.Vessels {
		for _, day := range []float64{simStart + 200, s.now, s.now + 700} {
			a, _ := first.State(v.Code, day)
			b, _ := second.State(v.Code, day)
			if !reflect.DeepEqual(a, b) {
				t.Fatalf("%s on day %g: %+v and, in another order, %+v", v.Code, day, a, b)
			}
		}
	}
}

// Fitting twice gives the same, and refitting a vessel with what is known already changes nothing.
func TestRefit(t *testing.T) {
	s := simulate(smallPlan(idealWorld()), 4)
	m := Fit(s.stock)
	v := s.stock.Vessels[5]
	before, _ := m.State(v.Code, s.now)
	same, _ := m.Refit(v).State(v.Code, s.now)
	if !reflect.DeepEqual(before, same) {
		t.Errorf("refit with the same events: %+v, was %+v", same, before)
	}
	more := v
	more.Events = append(slices.Clone(v.Events), Event{At: s.now, What: Observe,
		Strength: Measured{Value: before.StrengthPct.Mean, Known: true}, Volume: Measured{Value: before.VolumeL.Mean, SD: 0.01, Known: true}})
	after, _ := m.Refit(more).State(v.Code, s.now)
	if after.VolumeL.SD > 0.5*before.VolumeL.SD || after.Samples != before.Samples+1 {
		t.Errorf("a close gauge left the volume at ± %.3f, from %.3f", after.VolumeL.SD, before.VolumeL.SD)
	}
	if still, _ := m.State(v.Code, s.now); !reflect.DeepEqual(before, still) {
		t.Error("the old model has changed")
	}
	fresh := filledVessel(t, 50, 58)
	fresh.Code = "new one"
	next := m.Refit(fresh)
	if _, known := m.State(fresh.Code, 15100); known {
		t.Error("the old model knows the new vessel")
	}
	got, known := next.State(fresh.Code, 15100)
	if !known || !slices.Contains(got.Flags, FlagPriorOnly) {
		t.Errorf("a new vessel gives %v, %v", known, got.Flags)
	}
}

func TestEmptyAndUnknown(t *testing.T) {
	v := filledVessel(t, 50, 58)
	v.Events = append(v.Events, Event{At: 15300, What: Empty}, Event{At: 15400, What: Fill, Amount: amount(t, 40, 50)})
	m := Fit(Stock{Vessels: []Vessel{v}})
	for day, empty := range map[float64]bool{14000: true, 15100: false, 15350: true, 15450: false} {
		s, known := m.State("A", day)
		if !known || slices.Contains(s.Flags, FlagEmpty) != empty || (s.VolumeL.Mean == 0) != empty {
			t.Errorf("day %g: %+v", day, s)
		}
	}
	if _, known := m.State("B", 15000); known {
		t.Error("a vessel that does not exist is known")
	}
	if m.Path("B", 0, 10, 1) != nil || m.Path("A", 0, 10, 0) != nil || m.Outliers("B") != nil {
		t.Error("a path that cannot be drawn was drawn")
	}
	if Fit(Stock{}).Total([]string{"A"}, 15000).VolumeL.Mean != 0 {
		t.Error("nothing holds something")
	}
}

// A draw takes the volume that was written down, at the strength that is in the vessel.
func TestDrawTakesItsVolume(t *testing.T) {
	v := filledVessel(t, 100, 60)
	v.Events = append(v.Events, Event{At: 15200, What: Out, Amount: amount(t, 20, 40)})
	s := Fit(Stock{Vessels: []Vessel{v}})
	before, _ := s.State("A", 15199.9)
	after, _ := s.State("A", 15200)
	if d := before.VolumeL.Mean - after.VolumeL.Mean; math.Abs(d-20) > 0.01 {
		t.Errorf("a draw of 20 L took %.3f L", d)
	}
	if d := before.StrengthPct.Mean - after.StrengthPct.Mean; math.Abs(d) > 0.01 {
		t.Errorf("a draw changed the strength by %.3f", d)
	}
}

// One typing error is set aside and does not bend the curve.
func TestOneSlipIsSetAside(t *testing.T) {
	p := smallPlan(seasonalWorld())
	p.slips, p.least = 0, 6
	s := simulate(p, 6)
	clean := Fit(s.stock)
	for _, wrong := range []struct {
		name string
		do   func(*Event)
	}{
		{"strength with its figures swapped", func(e *Event) { e.Strength.Value = 26.4 }},
		{"strength off by 3", func(e *Event) { e.Strength.Value += 3 }},
		{"content off by a tenth", func(e *Event) { e.Volume.Value *= 0.9; e.NetMass.Value *= 0.9 }},
	} {
		v := s.stock.Vessels[2]
		v.Events = slices.Clone(v.Events)
		k := len(v.Events) / 2
		for v.Events[k].What != Observe {
			k++
		}
		wrong.do(&v.Events[k])
		m := clean.Refit(v)
		slips := m.Outliers(v.Code)
		if len(slips) != 1 || slips[0].At != v.Events[k].At {
			t.Errorf("%s: set aside %+v", wrong.name, slips)
		}
		a, _ := clean.State(v.Code, s.now+700)
		b, _ := m.State(v.Code, s.now+700)
		if math.Abs(a.VolumeL.Mean-b.VolumeL.Mean) > a.VolumeL.SD || math.Abs(a.StrengthPct.Mean-b.StrengthPct.Mean) > a.StrengthPct.SD {
			t.Errorf("%s bends the forecast from %+v to %+v", wrong.name, a.VolumeL, b.VolumeL)
		}
		if !slices.Contains(b.Flags, FlagOutlier) {
			t.Errorf("%s: flags %v", wrong.name, b.Flags)
		}
	}
}

// More was drawn than was thought to be there: the vessel counts as empty until
// a gauge shows that it is not.
func TestDrawnDry(t *testing.T) {
	v := filledVessel(t, 50, 60)
	v.Events = append(v.Events, Event{At: 15100, What: Out, Amount: amount(t, 60, 60)})
	if s, _ := Fit(Stock{Vessels: []Vessel{v}}).State("A", 15200); !slices.Contains(s.Flags, FlagEmpty) {
		t.Errorf("after a draw of more than there is: %+v", s)
	}
	v.Events = append(v.Events, Event{At: 15150, What: Observe, Volume: Measured{Value: 3, SD: 0.1, Known: true}})
	s, _ := Fit(Stock{Vessels: []Vessel{v}}).State("A", 15200)
	if math.Abs(s.VolumeL.Mean-3) > 0.4 || slices.Contains(s.Flags, FlagEmpty) {
		t.Errorf("after a gauge of 3 L: %+v", s)
	}
}

// Where the stock has no samples, the doubt about what is usual is the prior's,
// and belongs in the interval.
func TestNothingKnownIsWide(t *testing.T) {
	s, _ := Fit(Stock{Vessels: []Vessel{filledVessel(t, 50, 60)}}).State("A", 15000+2*daysPerYear)
	lost := 48.5 - s.VolumeL.Mean
	if s.VolumeL.SD < 0.4*lost || s.VolumeL.SD > 1.5*lost {
		t.Errorf("lost %.2f ± %.2f L", lost, s.VolumeL.SD)
	}
}

// The settings that a simulated store was made with are found again.
func TestSettingsAreLearned(t *testing.T) {
	s := simulate(plan{world: seasonalWorld(), casks: 40, sizes: []float64{50, 200}, years: 4, samples: 12, least: 8}, 41)
	found := map[string]Learned{}
	for _, l := range Fit(s.stock).Settings() {
		found[l.Name+l.Place] = l
		if !(l.Low <= l.High) {
			t.Errorf("%s lies between %g and %g", l.Name, l.Low, l.High)
		}
	}
	if e := found["strength error"]; math.Abs(e.Value/s.strengthSD-1) > 0.2 {
		t.Errorf("strengths err by %.3f, found %.3f", s.strengthSD, e.Value)
	}
	// The store is warm in July: day 205 of 365 makes a negative cosine.
	if c := found["season of rate, cos"]; c.Value > -0.2 || c.High > 0 {
		t.Errorf("no summer found: %+v", c)
	}
	if _, known := found["ratebarn"]; !known {
		t.Errorf("no setting for the barn among %d", len(found))
	}
}

// The band of its like does not know a vessel's own samples.
func TestLikePath(t *testing.T) {
	s := simulate(smallPlan(seasonalWorld()), 42)
	m := Fit(s.stock)
	own, like := m.Path("C004", s.now, s.now+400, 100), m.LikePath("C004", s.now, s.now+400, 100)
	if len(own) != 5 || len(like) != 5 {
		t.Fatalf("paths of %d and %d states", len(own), len(like))
	}
	if like[4].VolumeL.SD < 1.5*own[4].VolumeL.SD || !slices.Contains(like[4].Flags, FlagPriorOnly) {
		t.Errorf("its like: ± %.2f L, itself ± %.2f L", like[4].VolumeL.SD, own[4].VolumeL.SD)
	}
}

// A vessel of which nobody wrote the capacity has room for what it was filled with.
func TestCapacityNotKnown(t *testing.T) {
	v := filledVessel(t, 50, 60)
	v.Capacity = 0
	v.Events = append(v.Events, Event{At: 15300, What: Observe, Volume: Measured{Value: 46.5, Known: true}})
	m := Fit(Stock{Vessels: []Vessel{v}})
	if s, _ := m.State("A", 15300); math.Abs(s.VolumeL.Mean-46.5) > 0.5 || len(m.Outliers("A")) > 0 {
		t.Errorf("after a gauge of 46.5 L: %+v, set aside %v", s.VolumeL, m.Outliers("A"))
	}
}
