package loss

import (
	"slices"
	"testing"
)

// Leaks of 4 to 15 % a year must be found within 18 months, and sound vessels
// left alone.
func TestLeaksAreFound(t *testing.T) {
	var m leakMarks
	for _, p := range []plan{
		leakPlans["steady"].in(seasonalWorld()), leakPlans["steady"].in(randomWorld()),
		leakPlans["small"].in(humidWorld()), leakPlans["small"].in(idealWorld()),
		leakPlans["rooms"].in(seasonalWorld()),
	} {
		m.add(findLeaks(simulate(p, 300)))
	}
	t.Logf("found %g of %g leaks; %g false alarms in %.0f vessel years", m.found, m.leaks, m.alarms, m.years)
	if m.found < 0.7*m.leaks {
		t.Errorf("found %g of %g leaks", m.found, m.leaks)
	}
	if m.alarms > 0.02*m.years {
		t.Errorf("%g false alarms in %.0f vessel years", m.alarms, m.years)
	}
}

// An unrecorded draw is not a leak: the content drops once and goes on as before.
func TestUnrecordedDrawIsNoLeak(t *testing.T) {
	p := smallPlan(seasonalWorld())
	p.slips, p.least, p.samples, p.strength = 0, 10, 10, 0
	s := simulate(p, 21)
	m := Fit(s.stock)
	v := s.stock.Vessels[3]
	v.Events = slices.Clone(v.Events)
	for i := len(v.Events) / 2; i < len(v.Events); i++ {
		v.Events[i].Volume.Value *= 0.9
		v.Events[i].NetMass.Value *= 0.9
	}
	got, _ := m.Refit(v).State(v.Code, s.now)
	if slices.Contains(got.Flags, FlagLeak) || !slices.Contains(got.Flags, FlagUnrecorded) {
		t.Errorf("flags %v", got.Flags)
	}
}

// leakMarks is how leaks were found in a store.
type leakMarks struct {
	found, leaks, alarms, years float64
}

func (m *leakMarks) add(o leakMarks) {
	m.found += o.found
	m.leaks += o.leaks
	m.alarms += o.alarms
	m.years += o.years
}

// findLeaks plays a store's history over: after each gauge the cask's state is
// asked for as it was known then. A leak counts as found if it was suspected
// within 18 months of its start; an alarm on a sound cask counts each time it begins.
func findLeaks(s *store) leakMarks {
	var m leakMarks
	model := Fit(s.stock)
	for _, c := range s.casks {
		if c.gauge == "strength" {
			continue
		}
		if c.leak == 0 {
			m.years += (s.now - c.firstDay) / daysPerYear
		}
		found, before := false, false
		for k, e := range c.vessel.Events {
			if e.What != Observe {
				continue
			}
			known := c.vessel
			known.Events = c.vessel.Events[:k+1]
			now := suspected(model.Refit(known), known.Code, e.At)
			if c.leak == 0 && now && !before {
				m.alarms++
			}
			if c.leak > 0 && e.At > c.leakFrom && e.At < c.leakFrom+1.5*daysPerYear {
				found = found || now
			}
			before = now
		}
		if c.leak > 0 {
			m.leaks++
			if found {
				m.found++
			}
		}
	}
	return m
}

func suspected(m *Model, code string, at float64) bool {
	s, _ := m.State(code, at)
	for _, f := range s.Flags {
		if f == FlagLeak {
			return true
		}
	}
	return false
}

// Leaking casks are set apart before the others are learned from.
func TestLeaksDoNotSpoilTheRest(t *testing.T) {
	s := simulate(leakPlans["steady"].in(humidWorld()), 1)
	mine, m := forecastMarks([]*store{s})
	if v, _ := mine.ratios(m.helped); v > 0.65 {
		t.Errorf("sound casks beside leaking ones: volume error %.2f of a helped line's", v)
	}
	for _, l := range Fit(s.stock).Settings() {
		if l.Name == "rate wander" && l.Value > 0.3 {
			t.Errorf("rates seem to wander by %.2f; in truth by 0.08", l.Value)
		}
	}
}
