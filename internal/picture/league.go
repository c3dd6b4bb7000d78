package picture

import (
	"fmt"
	"html/template"
	"math"
)

// Whisker is a value with its bounds, beside a name.
type Whisker struct {
	Name            string
	Mean, Low, High float64
	Words           string // at the right edge
	Marked          bool
}

// League is values under one another, with a line where the usual lies.
type League struct {
	Title, Words, Unit string
	Usual              float64
	Rows               []Whisker
}

const leagueWidth, leagueRow = 720, 24

// LeagueChart draws a league.
func LeagueChart(l League) template.HTML {
	d := newDrawing("league", l.Title, l.Words, leagueWidth, float64(len(l.Rows)*leagueRow+50))
	low, high := l.Usual, l.Usual
	for _, r := range l.Rows {
		low, high = math.Min(low, r.Low), math.Max(high, math.Min(r.High, 3*math.Max(r.Mean, l.Usual)))
	}
	x := newAxis(math.Min(low, l.Usual), high, 130, leagueWidth-190, 6)
	floor := float64(len(l.Rows)*leagueRow + 14)
	for _, v := range x.ticks() {
		d.line("grid", []point{{x.at(v), 8}, {x.at(v), floor}})
		d.text("tick", "middle", point{x.at(v), floor + 14}, x.label(v))
	}
	d.text("axis", "middle", point{(x.from + x.to) / 2, floor + 30}, l.Unit)
	d.line("usual", []point{{x.at(l.Usual), 4}, {x.at(l.Usual), floor}})
	for i, r := range l.Rows {
		y := float64(i*leagueRow) + 22
		class := "now"
		if r.Marked {
			class = "now odd"
		}
		d.text("name", "end", point{122, y + 4}, r.Name)
		d.line("whisker", []point{{x.at(math.Max(r.Low, x.low)), y}, {x.at(math.Min(r.High, x.high)), y}})
		d.dot(class, point{x.at(r.Mean), y}, 4.5, fmt.Sprintf("%s: %.2f, between %.2f and %.2f nine times in ten", r.Name, r.Mean, r.Low, r.High))
		d.text("number", "start", point{leagueWidth - 182, y + 4}, r.Words)
	}
	return d.done()
}
