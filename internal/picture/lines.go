package picture

import (
	"fmt"
	"html/template"
	"math"
)

// Line is a quantity by days, with its name at its end.
type Line struct {
	Name   string
	Points []Bounded // the bounds are drawn as short bars
}

// Lines are several lines over one axis of days, told apart by their dashes and
// by the names at their ends.
type Lines struct {
	Title, Words, Unit string
	Lines              []Line
}

const linesWidth, linesHeight = 720, 260

// dashes are as many as can be told apart.
const dashes = 6

// LinesChart draws lines.
func LinesChart(l Lines) template.HTML {
	lowX, highX, lowY, highY := 0.0, 1.0, math.Inf(1), math.Inf(-1)
	for _, line := range l.Lines {
		for _, p := range line.Points {
			highX = math.Max(highX, p.Day)
			lowY, highY = math.Min(lowY, p.Low), math.Max(highY, p.High)
		}
	}
	if math.IsInf(lowY, 0) {
		lowY, highY = 0, 1
	}
	d := newDrawing("lines", l.Title, l.Words, linesWidth, linesHeight)
	x := newAxis(lowX, highX, marginLeft, linesWidth-110, 8)
	x.high = highX
	y := newAxis(lowY, highY, linesHeight-marginBottom, marginTop, 5)
	for _, v := range y.ticks() {
		d.line("grid", []point{{x.from, y.at(v)}, {x.to, y.at(v)}})
		d.text("tick", "end", point{x.from - 6, y.at(v) + 4}, y.label(v))
	}
	for _, v := range x.ticks() {
		d.text("tick", "middle", point{x.at(v), y.from + 16}, x.label(v))
	}
	d.text("axis", "end", point{x.to, y.from + 32}, "days in wood")
	d.text("axis", "start", point{4, 12}, l.Unit)
	var taken []float64
	for n, line := range l.Lines {
		d.series(line, n, x, y, &taken)
	}
	return d.done()
}

func (d *drawing) series(line Line, n int, x, y axis, taken *[]float64) {
	var points []point
	for _, p := range line.Points {
		at := point{x.at(p.Day), y.at(p.Mean)}
		points = append(points, at)
		d.line("whisker thin", []point{{at.x, y.at(p.Low)}, {at.x, y.at(p.High)}})
		d.dot("now small", at, 2.5, fmt.Sprintf("%s after %.0f days: %.2f, between %.2f and %.2f nine times in ten", line.Name, p.Day, p.Mean, p.Low, p.High))
	}
	d.line(fmt.Sprintf("drift alone dash-%d", n%dashes), points)
	if len(points) == 0 {
		return
	}
	end := points[len(points)-1]
	label := freeHeight(end.y+4, *taken)
	*taken = append(*taken, label)
	d.text("name", "start", point{end.x + 8, label}, line.Name)
}

// freeHeight moves a label down until it stands on no other.
func freeHeight(y float64, taken []float64) float64 {
	const tall = 13
	for moved := true; moved; {
		moved = false
		for _, t := range taken {
			if math.Abs(t-y) < tall-1e-6 {
				y, moved = t+tall, true
			}
		}
	}
	return y
}
