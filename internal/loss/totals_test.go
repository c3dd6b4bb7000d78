package loss

import (
	"math"
	"testing"
)

// A total's interval is wider than that of as many strangers: what the vessels
// share errs in all of them alike. And it is narrower than if all erred as one.
func TestTotalAllowsForWhatIsShared(t *testing.T) {
	p := smallPlan(seasonalWorld())
	p.samples, p.least, p.slips, p.casks = 1, 0, 0, 20
	s := simulate(p, 31)
	m := Fit(s.stock)
	var codes []string
	var sum, squares, sds float64
	day := s.now + 700
	for _, v := range s.stock.Vessels {
		codes = append(codes, v.Code)
		one, _ := m.State(v.Code, day)
		sum += one.VolumeL.Mean
		squares += square(one.VolumeL.SD)
		sds += one.VolumeL.SD
	}
	all := m.Total(codes, day)
	if math.Abs(all.VolumeL.Mean-sum) > 1e-6*sum {
		t.Errorf("the total is %.3f L, its parts %.3f L", all.VolumeL.Mean, sum)
	}
	if all.VolumeL.SD < 1.1*math.Sqrt(squares) || all.VolumeL.SD > sds {
		t.Errorf("the total is ± %.3f L; strangers would make %.3f, one error for all %.3f", all.VolumeL.SD, math.Sqrt(squares), sds)
	}
	if one := m.Total(codes[:1], day); true {
		alone, _ := m.State(codes[0], day)
		if math.Abs(one.VolumeL.SD-alone.VolumeL.SD) > 0.02*alone.VolumeL.SD ||
			math.Abs(one.StrengthPct.Mean-alone.StrengthPct.Mean) > 0.05 ||
			math.Abs(one.LossPctPerYear.Mean-alone.LossPctPerYear.Mean) > 0.1*alone.LossPctPerYear.Mean {
			t.Errorf("a total of one vessel is %+v, the vessel %+v", one, alone)
		}
	}
}

// Totals hold, too: of whole stores, two years on.
func TestTotalsHold(t *testing.T) {
	held, n := 0.0, 0.0
	for seed := range uint64(24) {
		s := simulate(plan{world: idealWorld(), casks: 8, sizes: []float64{50, 100, 200}, years: 3, samples: 7, least: 2, newWood: 0.3}, 400+seed)
		m := Fit(s.stock)
		var codes []string
		truth := 0.0
		for i, v := range s.stock.Vessels {
			codes = append(codes, v.Code)
			truth += s.later[i].volume
		}
		held += holds(m.Total(codes, s.now+2*daysPerYear).VolumeL, truth)
		n++
	}
	// 90 % of 24 is 21.6; fewer than 17 happens once in a hundred.
	if held < 17 {
		t.Errorf("90 %% intervals of totals hold %g times of %g", held, n)
	}
}

func TestReaches(t *testing.T) {
	s := simulate(smallPlan(seasonalWorld()), 32)
	m := Fit(s.stock)
	code := s.stock.Vessels[1].Code
	now, _ := m.State(code, s.now)
	floor := 0.9 * now.VolumeL.Mean
	day, ok := m.Reaches(code, VolumeQuantity, floor, s.now)
	if !ok || !(day.Low < day.Mean && day.Mean < day.High) {
		t.Fatalf("falls to %.1f L on %+v, %v", floor, day, ok)
	}
	then, _ := m.State(code, day.Mean)
	if math.Abs(then.VolumeL.Mean-floor) > 0.002*floor {
		t.Errorf("on that day it holds %.2f L, not %.2f L", then.VolumeL.Mean, floor)
	}
	if e, ok := m.Reaches(code, VolumeQuantity, 2*now.VolumeL.Mean, s.now); !ok || e.Mean != s.now {
		t.Errorf("a floor above what is there: %+v, %v", e, ok)
	}
	tank := filledVessel(t, 500, 60)
	tank.Kind = Tank
	if e, ok := Fit(Stock{Vessels: []Vessel{tank}}).Reaches("A", VolumeQuantity, 100, 15000); ok {
		t.Errorf("a tank runs dry on %+v", e)
	}
}

// A sample is worth most where least is known.
func TestSampleWorth(t *testing.T) {
	p := smallPlan(seasonalWorld())
	p.samples, p.least, p.slips = 9, 9, 0
	s := simulate(p, 33)
	fresh := filledVessel(t, 50, 60)
	fresh.Code, fresh.Place, fresh.Events[0].At = "new", "barn", s.now-400
	s.stock.Vessels = append(s.stock.Vessels, fresh)
	m := Fit(s.stock)
	unknown, known := m.SampleWorth("new", s.now), 0.0
	for _, c := range s.casks {
		known += m.SampleWorth(c.vessel.Code, s.now) / float64(len(s.casks))
	}
	if !(unknown > 0.2 && unknown < 1 && known >= 0 && known < unknown) {
		t.Errorf("a sample is worth %.2f where none was taken, %.2f where nine were", unknown, known)
	}
	if w := m.SampleWorth("nobody", s.now); w != 0 {
		t.Errorf("a sample of nothing is worth %g", w)
	}
}
