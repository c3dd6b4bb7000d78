package loss

import (
	"math"
	"testing"
)

// Two years ahead, against a least-squares line through each vessel's readings
// as they were written down. The stores are made by rules that the estimator
// does not know (simulate_test.go).
func TestForecastsBeatAStraightLine(t *testing.T) {
	var held [2]float64
	var count float64
	for _, c := range []struct {
		world            *world
		volume, strength float64 // most that the error may be, in terms of the line's
	}{
		{seasonalWorld(), 0.30, 0.60}, {idealWorld(), 0.30, 0.60}, {humidWorld(), 0.30, 0.60}, {randomWorld(), 0.40, 0.90},
	} {
		var stores []*store
		for k, p := range []plan{benchPlans[0], benchPlans[2], benchPlans[1]} {
			stores = append(stores, simulate(p.in(c.world), 100+uint64(k)))
		}
		mine, m := forecastMarks(stores)
		v, q := mine.ratios(m.line)
		hv, hq := mine.ratios(m.helped)
		lv, _ := mine.ratios(m.last)
		t.Logf("%s: volume %.3f, strength %.3f of the line's error; %.3f, %.3f of a helped line's; volume %.3f of the last value's; %.0f and %.0f %% held",
			c.world.name, v, q, hv, hq, lv, 100*m.held[0], 100*m.held[1])
		if v > c.volume || q > c.strength || lv > 0.8 || hv > 0.6 {
			t.Errorf("%s: volume error %.3f and strength error %.3f of the line's, %.3f and %.3f of the helped line's, volume error %.3f of the last value's",
				c.world.name, v, q, hv, hq, lv)
		}
		held[0] += m.held[0] * m.count
		held[1] += m.held[1] * m.count
		count += m.count
	}
	// Some 330 forecasts: chance alone moves the share by 1.7 %.
	if v, q := held[0]/count, held[1]/count; v < 0.85 || v > 0.95 || q < 0.85 || q > 0.95 {
		t.Errorf("90 %% intervals hold %.1f %% of volumes and %.1f %% of strengths", 100*v, 100*q)
	}
}

// Hindsight must hold as well: states of past days, between the gauges.
func TestPastStatesHold(t *testing.T) {
	var volume, strength, n float64
	for seed := range uint64(2) {
		s := simulate(benchPlans[0].in(seasonalWorld()), 200+seed)
		m := Fit(s.stock)
		for i, c := range s.casks {
			day := c.firstDay + 400
			v, q := s.halfway[i].volume, s.halfway[i].strength
			got, _ := m.State(c.vessel.Code, day)
			volume += holds(got.VolumeL, v)
			strength += holds(got.StrengthPct, q)
			n++
		}
	}
	if v, q := volume/n, strength/n; v < 0.82 || q < 0.82 {
		t.Errorf("intervals for past days hold %.0f %% of volumes and %.0f %% of strengths", 100*v, 100*q)
	}
}

// What later gauges say sharpens a past day, and on the last day there is no hindsight.
func TestHindsight(t *testing.T) {
	s := simulate(smallPlan(idealWorld()), 11)
	m := Fit(s.stock)
	for _, c := range s.casks {
		day := c.points[2].day - 20
		known := c.vessel
		known.Events = nil
		for _, e := range c.vessel.Events {
			if e.At <= day {
				known.Events = append(known.Events, e)
			}
		}
		then, _ := m.Refit(known).State(c.vessel.Code, day)
		now, _ := m.State(c.vessel.Code, day)
		if now.VolumeL.SD > 1.1*then.VolumeL.SD || now.StrengthPct.SD > 1.1*then.StrengthPct.SD {
			t.Errorf("%s: hindsight widens ± %.3f L, ± %.3f %% to ± %.3f L, ± %.3f %%", c.vessel.Code,
				then.VolumeL.SD, then.StrengthPct.SD, now.VolumeL.SD, now.StrengthPct.SD)
		}
		last := c.vessel.Events[len(c.vessel.Events)-1].At
		a := m.Path(c.vessel.Code, last-1e-6, last, 1e-6)
		if len(a) == 2 && len(c.vessel.Events) > 0 && a[1].VolumeL.SD > 0 {
			b := m.Path(c.vessel.Code, last, last+1e-6, 1e-6)
			if d := math.Abs(a[1].VolumeL.Mean - b[0].VolumeL.Mean); d > 1e-6*c.capacity {
				t.Errorf("%s: on the last day looking back gives %.6f L, looking on %.6f L", c.vessel.Code, a[1].VolumeL.Mean, b[0].VolumeL.Mean)
			}
		}
	}
}

// No store may make the settings run away: these are ones in which they once did.
func TestForecastsDoNotRunAway(t *testing.T) {
	for _, s := range []*store{
		simulate(benchPlans[0].in(randomWorld()), 6), simulate(benchPlans[2].in(idealWorld()), 10), simulate(benchPlans[2].in(idealWorld()), 4),
	} {
		m := Fit(s.stock)
		for i, c := range s.casks {
			got, _ := m.State(c.vessel.Code, s.later[i].day)
			if got.VolumeL.SD > 0.2*c.capacity || got.StrengthPct.SD > 5 {
				t.Errorf("%s, %s of %g L with %d samples: %+v, %+v", s.plan.world.name, c.gauge, c.capacity, c.samples, got.VolumeL, got.StrengthPct)
			}
		}
	}
}
