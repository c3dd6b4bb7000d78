package picture

import (
	"html/template"
	"math"
)

// Range is what can be made, in the plane of volume and strength: all within
// the outline, and beside it what is wanted and what is offered instead.
type Range struct {
	Title   string
	Outline []Place // a closed line
	Wanted  []Place
	Offered []Place
}

// ReachChart draws a range. What is wanted is a ring, what is offered a dot;
// both have their words beside them.
func ReachChart(r Range) template.HTML {
	x, y := r.axes()
	d := newDrawing("reach", r.Title, "Volume to the right, strength upward. All within the line can be made.", mapWidth, mapHeight)
	d.frame(x, y, "litres at 20 °C", "% vol", x.label)
	var outline []point
	for _, p := range r.Outline {
		outline = append(outline, point{x.at(p.Volume), y.at(p.Strength)})
	}
	if len(outline) > 0 {
		d.area("band", outline)
		d.line("drift alone", append(outline, outline[0]))
	}
	const above, below = -13, 22
	for _, p := range r.Offered {
		d.marked("now", x, y, p, 4, below)
	}
	for _, p := range r.Wanted {
		d.marked("wanted", x, y, p, 7, above)
	}
	return d.done()
}

// marked draws a place with its words above or below it, to the side that has
// room for them.
func (d *drawing) marked(class string, x, y axis, p Place, radius, down float64) {
	at := point{x.at(p.Volume), y.at(p.Strength)}
	d.dot(class, at, radius, p.Words)
	anchor := "start"
	if at.x > mapWidth/2 {
		anchor = "end"
	}
	d.text("axis", anchor, point{at.x, at.y + down}, p.Words)
}

func (r Range) axes() (x, y axis) {
	lowS, highS, highV := math.Inf(1), math.Inf(-1), 0.0
	for _, list := range [][]Place{r.Outline, r.Wanted, r.Offered} {
		for _, p := range list {
			highV = math.Max(highV, p.Volume)
			lowS, highS = math.Min(lowS, p.Strength), math.Max(highS, p.Strength)
		}
	}
	if math.IsInf(lowS, 0) {
		lowS, highS, highV = 40, 60, 1
	}
	return newAxis(0, highV*1.05, marginLeft, mapWidth-marginRight, 8),
		newAxis(math.Max(0, lowS-1), math.Min(100, highS+1), mapHeight-marginBottom, marginTop, 7)
}
