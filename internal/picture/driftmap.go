package picture

import (
	"fmt"
	"html/template"
	"math"
)

// Drift is one vessel's way through the plane of volume and strength.
type Drift struct {
	Name     string
	Path     []Place // how it is reckoned to have gone, oldest first; the last is now
	Forecast []Place // from now on
	Readings []Place // what was measured of both at once
}

// Place is a point of the plane: litres (or a share of the first filling) and % vol.
type Place struct {
	Volume, Strength     float64
	VolumeSD, StrengthSD float64
	Words                string
}

const (
	mapWidth, mapHeight = 640, 400
	marginLeft          = 44
	marginRight         = 14
	marginTop           = 22
	marginBottom        = 40
)

// z90 is the half width of the central 90 % of a normal distribution in standard deviations.
const z90 = 1.645

// DriftMap draws vessels over curves of equal pure alcohol. volumeWords names
// the axis of volume.
func DriftMap(title, volumeWords string, drifts []Drift) template.HTML {
	x, y := mapAxes(drifts)
	d := newDrawing("drift-map", title, "Volume to the right, strength upward. Along a thin curve the pure alcohol is the same.", mapWidth, mapHeight)
	d.frame(x, y, volumeWords, "% vol", x.label)
	d.equalAlcohol(x, y)
	for _, drift := range drifts {
		d.drift(x, y, drift, len(drifts) == 1)
	}
	return d.done()
}

func mapAxes(drifts []Drift) (x, y axis) {
	lowV, highV, lowS, highS := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, drift := range drifts {
		for _, list := range [][]Place{drift.Path, drift.Forecast, drift.Readings} {
			for _, p := range list {
				lowV, highV = math.Min(lowV, p.Volume-z90*p.VolumeSD), math.Max(highV, p.Volume+z90*p.VolumeSD)
				lowS, highS = math.Min(lowS, p.Strength-z90*p.StrengthSD), math.Max(highS, p.Strength+z90*p.StrengthSD)
			}
		}
	}
	if math.IsInf(lowV, 0) || math.IsInf(lowS, 0) {
		lowV, highV, lowS, highS = 0, 1, 40, 60
	}
	return newAxis(math.Max(0, lowV), highV, marginLeft, mapWidth-marginRight, 8),
		newAxis(math.Max(0, lowS), math.Min(100, highS), mapHeight-marginBottom, marginTop, 7)
}

// equalAlcohol draws the curves volume × strength = constant at round numbers.
func (d *drawing) equalAlcohol(x, y axis) {
	low, high := x.low*y.low/100, x.high*y.high/100
	step := roundStep((high - low) / 8)
	for alcohol := math.Ceil(low/step) * step; alcohol < high; alcohol += step {
		if alcohol <= 0 {
			continue
		}
		var curve []point
		for i := 0; i <= 60; i++ {
			v := x.low + (x.high-x.low)*float64(i)/60
			if s := 100 * alcohol / v; v > 0 && s >= y.low && s <= y.high {
				curve = append(curve, point{x.at(v), y.at(s)})
			}
		}
		d.line("equal", curve)
		if n := len(curve); n > 2 {
			d.text("equal-words", "end", point{curve[n-1].x - 2, curve[n-1].y - 3}, fmt.Sprintf("%.3g", alcohol))
		}
	}
}

func (d *drawing) drift(x, y axis, drift Drift, alone bool) {
	onPaper := func(list []Place) []point {
		points := make([]point, len(list))
		for i, p := range list {
			points[i] = point{x.at(p.Volume), y.at(p.Strength)}
		}
		return points
	}
	class := "drift"
	if alone {
		class = "drift alone"
	}
	d.line(class, onPaper(drift.Path))
	d.line(class+" forecast", onPaper(drift.Forecast))
	for i, p := range onPaper(drift.Readings) {
		d.dot("reading", p, 2.5, drift.Readings[i].Words)
	}
	if alone {
		d.spread(x, y, drift.Forecast)
	}
	d.spread(x, y, drift.Path)
	if n := len(drift.Path); n > 0 {
		p := drift.Path[n-1]
		d.dot("now", point{x.at(p.Volume), y.at(p.Strength)}, 4, drift.Name+": "+p.Words)
	}
}

// spread draws the 90 % bounds of the last place of a list.
func (d *drawing) spread(x, y axis, list []Place) {
	if len(list) == 0 {
		return
	}
	p := list[len(list)-1]
	at := point{x.at(p.Volume), y.at(p.Strength)}
	rx := x.at(p.Volume+z90*p.VolumeSD) - at.x
	ry := y.at(p.Strength+z90*p.StrengthSD) - at.y
	d.ellipse("spread", at, rx, ry, p.Words)
}
