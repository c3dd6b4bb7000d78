package loss

import (
	"math"
	"testing"

	"example.org/croze/internal/published"
)

// Strength by age in charred oak (Schoeneman, Dyer and Earl, J. AOAC 54, 1971):
// it dips before it rises. A cask that is given the first four years must
// show the dip, and its forecast must hold the later ones. The 90 % interval may
// miss one age in ten; the last two ages rise faster than those before, so a
// second is allowed, and three standard deviations must hold all. At the end it
// must be nearer than a straight line through the same readings.
func TestPublishedStrengthByAge(t *testing.T) {
	rows := published.Rows(t, "whisky_proof_by_age.csv")
	v := filledVessel(t, 200, rows[0].Number(t, "pct_vol_half_of_proof"))
	v.WoodNew = true
	start := v.Events[0].At
	read := []simPoint{{day: start, strength: rows[0].Number(t, "pct_vol_half_of_proof")}}
	for _, row := range rows[1:] {
		age := row.Number(t, "age_years")
		if age > 4 {
			break
		}
		v.Events = append(v.Events, Event{At: start + age*daysPerYear, What: Observe,
			Strength: Measured{Value: row.Number(t, "pct_vol_half_of_proof"), Known: true}})
		read = append(read, simPoint{day: start + age*daysPerYear, strength: row.Number(t, "pct_vol_half_of_proof")})
	}
	m := Fit(Stock{Vessels: []Vessel{v}})
	fill, _ := m.State("A", start)
	dip, _ := m.State("A", start+0.4*daysPerYear)
	if dip.StrengthPct.Mean > fill.StrengthPct.Mean-0.1 {
		t.Errorf("no dip: filled at %.2f, then %.2f", fill.StrengthPct.Mean, dip.StrengthPct.Mean)
	}
	held := 0.0
	for _, row := range rows {
		age := row.Number(t, "age_years")
		truth := row.Number(t, "pct_vol_half_of_proof")
		s, _ := m.State("A", start+age*daysPerYear)
		held += holds(s.StrengthPct, truth)
		if math.Abs(truth-s.StrengthPct.Mean) > 3*s.StrengthPct.SD {
			t.Errorf("at %g years %.2f %% vol, here %.2f ± %.2f", age, truth, s.StrengthPct.Mean, s.StrengthPct.SD)
		}
	}
	if held < 8 {
		t.Errorf("90 %% intervals hold %g of %d ages", held, len(rows))
	}
	end := start + 8*daysPerYear
	last, _ := m.State("A", end)
	line := lineOf(read, end, strengthOf)
	truth := rows[len(rows)-1].Number(t, "pct_vol_half_of_proof")
	if math.Abs(last.StrengthPct.Mean-truth) > 0.8*math.Abs(line-truth) {
		t.Errorf("at 8 years %.2f %% vol and by a straight line %.2f, published %.2f", last.StrengthPct.Mean, line, truth)
	}
}

// What is said of a cask of which nothing is known must agree with published
// losses (cask_loss.csv): L01 has 1.2 ± 0.3 % a year of 200 L, L04 2.5 % of the alcohol.
func TestUsualLossesArePublishedOnes(t *testing.T) {
	for _, row := range published.Rows(t, "cask_loss.csv") {
		s := yearLater(t, Cask, 200, 60)
		switch row["id"] {
		case "L01":
			if s.LossPctPerYear.Low > 1.2 || s.LossPctPerYear.High < 1.2 {
				t.Errorf("L01: %s %s, here %+v", row["value"], row["unit"], s.LossPctPerYear)
			}
		case "L04":
			if x := row.Number(t, "value"); s.PureAlcoholLossPctPerYear.Low > x || s.PureAlcoholLossPctPerYear.High < x {
				t.Errorf("L04: %s %s, here %+v", row["value"], row["unit"], s.PureAlcoholLossPctPerYear)
			}
		}
	}
}

// Usual losses by kind and size, from memory of the trade: 200 L about 2 % a
// year, 5 to 20 L 5 to 12 %, a wooden head alone a fraction of that, jars and
// tanks next to nothing.
func TestUsualLossByKind(t *testing.T) {
	for _, c := range []struct {
		kind      Kind
		capacity  float64
		low, high float64 // % a year
	}{
		{Cask, 200, 1, 3}, {Cask, 500, 0.7, 2.5}, {Cask, 20, 3, 7}, {Cask, 5, 5, 12},
		{Hybrid, 50, 0.2, 1}, {Jar, 10, 0.05, 0.8}, {Tank, 1000, 0, 0.05},
	} {
		if got := yearLater(t, c.kind, c.capacity, 60).LossPctPerYear.Mean; got < c.low || got > c.high {
			t.Errorf("a %s of %g L loses %.2f %% a year, usual is %g to %g", c.kind, c.capacity, got, c.low, c.high)
		}
	}
}

func yearLater(t *testing.T, kind Kind, capacity, strength float64) State {
	t.Helper()
	v := filledVessel(t, capacity, strength)
	v.Kind = kind
	s, _ := Fit(Stock{Vessels: []Vessel{v}}).State("A", v.Events[0].At+daysPerYear)
	return s
}
