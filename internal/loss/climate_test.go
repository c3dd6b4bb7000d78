package loss

import (
	"math"
	"testing"
)

// A log of a year, read each day, and what the reckoning makes of it.
func TestLoggedClimate(t *testing.T) {
	c := Climate{Place: "loft"}
	for day := 15000.0; day < 15000+730; day++ {
		c.Log = append(c.Log, ClimateReading{At: day, TempC: 15 + 8*season(day, 200), HumidityPct: 65 - 10*season(day, 200), TempKnown: true, HumidityKnown: true})
	}
	a := newAir(c)
	summer, humid := a.between(200+41*365.25, 210+41*365.25)
	winter, _ := a.between(20+41*365.25, 30+41*365.25)
	if want := warmth(23); math.Abs(summer-want) > 0.03 || math.Abs(humid-0.55) > 0.01 {
		t.Errorf("in summer the log rate is %.3f (want %.3f), the humidity %.3f", summer, want, humid)
	}
	if want := warmth(7); math.Abs(winter-want) > 0.03 {
		t.Errorf("in winter the log rate is %.3f, want %.3f", winter, want)
	}
	// Years after the log ended, the same time of year stands in.
	later, _ := a.between(200+49*365.25, 210+49*365.25)
	if math.Abs(later-summer) > 0.05 {
		t.Errorf("a later summer has %.3f, the logged one %.3f", later, summer)
	}
	mean, _ := a.mean()
	if sum := (summer + winter) / 2; math.Abs(mean-sum) > 0.2 {
		t.Errorf("the year's log rate is %.3f, between %.3f and %.3f", mean, winter, summer)
	}
}

// A logged warm summer must be seen in the loss: between two dates the logged
// place loses as fast as its temperatures say.
func TestLogDrivesTheRate(t *testing.T) {
	lost := func(tempC float64) float64 {
		v := filledVessel(t, 50, 60)
		v.Place = "loft"
		c := Climate{Place: "loft"}
		for day := 14900.0; day < 15600; day += 5 {
			c.Log = append(c.Log, ClimateReading{At: day, TempC: tempC, TempKnown: true})
		}
		m := Fit(Stock{Vessels: []Vessel{v}, Places: []Climate{c}})
		a, _ := m.State("A", 15400)
		b, _ := m.State("A", 15580)
		return a.VolumeL.Mean - b.VolumeL.Mean
	}
	cold, warm := lost(10), lost(22)
	want := math.Exp(warmth(22) - warmth(10))
	if got := warm / cold; math.Abs(got/want-1) > 0.1 {
		t.Errorf("at 22 °C it loses %.2f times what it loses at 10 °C, want about %.2f", got, want)
	}
}

// A known climate moves what is expected of a new vessel.
func TestKnownClimate(t *testing.T) {
	state := func(tempC, humidity float64) State {
		v := filledVessel(t, 50, 60)
		v.Place = "x"
		m := Fit(Stock{Vessels: []Vessel{v}, Places: []Climate{{Place: "x", TempC: tempC, HumidityPct: humidity, TempKnown: true, HumidityKnown: true}}})
		s, _ := m.State("A", 15300)
		return s
	}
	cellar, loft := state(10, 85), state(22, 45)
	if loft.LossPctPerYear.Mean < 1.5*cellar.LossPctPerYear.Mean {
		t.Errorf("a loft takes %.2f %% a year, a cellar %.2f %%", loft.LossPctPerYear.Mean, cellar.LossPctPerYear.Mean)
	}
	if loft.DriftPctPerYear.Mean <= 0 || cellar.DriftPctPerYear.Mean >= 0 {
		t.Errorf("strength drifts by %.2f a year in a dry loft, by %.2f in a damp cellar", loft.DriftPctPerYear.Mean, cellar.DriftPctPerYear.Mean)
	}
}
