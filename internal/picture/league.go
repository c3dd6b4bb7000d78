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
	x := l.axis()
	floor := float64(len(l.Rows)*leagueRow + 14)
	for _, v := range x.ticks() {
		d.line("grid", []point{{x.at(v), 8}, {x.at(v), floor}})
		d.text("tick", "middle", point{x.at(v), floor + 14}, fmt.Sprintf("%g", v))
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
		d.line("whisker", []point{{x.at(r.Low), y}, {x.at(r.High), y}})
		d.dot(class, point{x.at(r.Mean), y}, 4.5, fmt.Sprintf("%s: %.2f, between %.2f and %.2f nine times in ten", r.Name, r.Mean, r.Low, r.High))
		d.text("number", "start", point{leagueWidth - 182, y + 4}, r.Words)
	}
	return d.done()
}

// doublings is an axis on which twice as much is always as far away.
type doublings struct{ low, high, from, to float64 }

// axis spans all dots, by whole doublings on either side of the usual.
func (l League) axis() doublings {
	low, high := -1.0, 1.0
	for _, r := range l.Rows {
		if r.Mean > 0 {
			at := math.Log2(r.Mean / l.Usual)
			low, high = math.Min(low, math.Floor(at)), math.Max(high, math.Ceil(at))
		}
	}
	return doublings{l.Usual * math.Exp2(math.Max(low, -4)), l.Usual * math.Exp2(high), 130, leagueWidth - 190}
}

func (a doublings) at(v float64) float64 {
	v = math.Min(math.Max(v, a.low), a.high)
	return a.from + (a.to-a.from)*math.Log2(v/a.low)/math.Log2(a.high/a.low)
}

func (a doublings) ticks() []float64 {
	var ticks []float64
	for v := a.low; v <= a.high*1.001; v *= 2 {
		ticks = append(ticks, v)
	}
	return ticks
}
