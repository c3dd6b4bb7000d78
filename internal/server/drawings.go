package server

import (
	"fmt"
	"html/template"
	"slices"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
	"example.org/croze/internal/picture"
)

const (
	stepDays     = 30  // between points of a drawn path
	forecastDays = 730 // drawn ahead of today
)

func place(s loss.State, scale float64) picture.Place {
	return picture.Place{
		Volume: s.VolumeL.Mean * scale, Strength: s.StrengthPct.Mean,
		VolumeSD: s.VolumeL.SD * scale, StrengthSD: s.StrengthPct.SD,
		Words: fmt.Sprintf("%.1f L ± %.1f at %.1f ± %.1f %% vol", s.VolumeL.Mean, s.VolumeL.SD, s.StrengthPct.Mean, s.StrengthPct.SD),
	}
}

// stockMap draws every filled vessel's way, its volume as a share of its capacity.
func stockMap(v *book.View) template.HTML {
	var drifts []picture.Drift
	for _, code := range v.State.VesselCodes() {
		if v.State.IsEmpty(code) {
			continue
		}
		scale := 100 / float64(v.State.Vessels[code].CapacityL)
		d := picture.Drift{Name: code}
		for _, p := range v.Path(code, 3*stepDays) {
			d.Path = append(d.Path, place(p.State, scale))
		}
		d.Path = append(d.Path, place(v.StockLine(code).State, scale))
		drifts = append(drifts, d)
	}
	if len(drifts) == 0 {
		return ""
	}
	return picture.DriftMap("Drift map of the stock", "% of capacity", drifts)
}

// vesselMap draws one vessel's way with what was read and what is expected.
func vesselMap(v *book.View, code string) template.HTML {
	d := picture.Drift{Name: code}
	for _, p := range v.Path(code, stepDays) {
		d.Path = append(d.Path, place(p.State, 1))
	}
	now := v.StockLine(code).State
	d.Path = append(d.Path, place(now, 1))
	d.Forecast = []picture.Place{place(now, 1)}
	for i, p := range v.Ahead(code, forecastDays, stepDays) { // the courses' points, every second one
		if i%2 == 1 {
			d.Forecast = append(d.Forecast, place(p.State, 1))
		}
	}
	for _, e := range v.Readings(code) {
		if e.Strength != nil && e.Content != nil {
			d.Readings = append(d.Readings, picture.Place{
				Volume: float64(e.Content.VolumeL), Strength: float64(e.Strength.StrengthPct),
				Words: fmt.Sprintf("%s: %.2f L at %.1f %% vol", e.Day, float64(e.Content.VolumeL), float64(e.Strength.StrengthPct)),
			})
		}
	}
	return picture.DriftMap("Drift of "+code, "L at 20 °C", []picture.Drift{d})
}

// courses draws volume and strength over time.
func courses(v *book.View, code string) []template.HTML {
	volume := picture.Course{Title: "Content of " + code, Unit: "L", Now: float64(v.On)}
	strength := picture.Course{Title: "Strength of " + code, Unit: "% vol", Now: float64(v.On)}
	points := slices.Concat(v.Path(code, stepDays), v.Ahead(code, forecastDays, stepDays))
	for _, p := range points {
		volume.Estimate = append(volume.Estimate, bounded(p.Day, p.State.VolumeL))
		strength.Estimate = append(strength.Estimate, bounded(p.Day, p.State.StrengthPct))
	}
	for _, e := range v.Readings(code) {
		if e.Content != nil {
			value := float64(e.Content.VolumeL)
			volume.Readings = append(volume.Readings, picture.Read{Day: float64(e.Day), Value: value, Odd: e.Odd, Words: fmt.Sprintf("%s: %.2f L", e.Day, value)})
		}
		if e.Strength != nil {
			value := float64(e.Strength.StrengthPct)
			strength.Readings = append(strength.Readings, picture.Read{Day: float64(e.Day), Value: value, Odd: e.Odd, Words: fmt.Sprintf("%s: %.1f %% vol", e.Day, value)})
		}
	}
	return []template.HTML{picture.CourseChart(strength), picture.CourseChart(volume)}
}

func bounded(day cellar.Day, e loss.Estimate) picture.Bounded {
	return picture.Bounded{Day: float64(day), Mean: e.Mean, Low: e.Low, High: e.High}
}
