package picture

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strings"
)

// drawing is an SVG under way.
type drawing struct {
	b             strings.Builder
	width, height float64
}

func newDrawing(class, title, description string, width, height float64) *drawing {
	d := &drawing{width: width, height: height}
	fmt.Fprintf(&d.b, `<svg class="picture %s" viewBox="0 0 %g %g" role="img" xmlns="http://www.w3.org/2000/svg">`, class, width, height)
	fmt.Fprintf(&d.b, `<title>%s</title><desc>%s</desc>`, html.EscapeString(title), html.EscapeString(description))
	return d
}

func (d *drawing) done() template.HTML {
	d.b.WriteString(`</svg>`)
	return template.HTML(d.b.String())
}

// point is a place on the paper, in pixels.
type point struct{ x, y float64 }

func (p point) drawable() bool {
	return !math.IsNaN(p.x+p.y) && !math.IsInf(p.x, 0) && !math.IsInf(p.y, 0)
}

func path(points []point) string {
	var b strings.Builder
	pen := "M"
	for _, p := range points {
		if !p.drawable() {
			pen = "M"
			continue
		}
		fmt.Fprintf(&b, "%s%.1f %.1f", pen, p.x, p.y)
		pen = "L"
	}
	return b.String()
}

func (d *drawing) line(class string, points []point) {
	if len(points) > 1 {
		fmt.Fprintf(&d.b, `<path class="%s" d="%s"/>`, class, path(points))
	}
}

func (d *drawing) area(class string, points []point) {
	if len(points) > 2 {
		fmt.Fprintf(&d.b, `<path class="%s" d="%sZ"/>`, class, path(points))
	}
}

// dot draws a mark with words that show when it is pointed at.
func (d *drawing) dot(class string, p point, radius float64, words string) {
	if !p.drawable() {
		return
	}
	fmt.Fprintf(&d.b, `<circle class="%s" cx="%.1f" cy="%.1f" r="%.1f"><title>%s</title></circle>`,
		class, p.x, p.y, radius, html.EscapeString(words))
}

func (d *drawing) ellipse(class string, p point, rx, ry float64, words string) {
	if !p.drawable() || math.IsNaN(rx+ry) {
		return
	}
	fmt.Fprintf(&d.b, `<ellipse class="%s" cx="%.1f" cy="%.1f" rx="%.1f" ry="%.1f"><title>%s</title></ellipse>`,
		class, p.x, p.y, math.Abs(rx), math.Abs(ry), html.EscapeString(words))
}

func (d *drawing) text(class, anchor string, p point, words string) {
	fmt.Fprintf(&d.b, `<text class="%s" x="%.1f" y="%.1f" text-anchor="%s">%s</text>`, class, p.x, p.y, anchor, html.EscapeString(words))
}

// frame draws both axes with their ticks and words.
func (d *drawing) frame(x, y axis, xWords, yWords string, xLabel func(float64) string) {
	for _, v := range y.ticks() {
		d.line("grid", []point{{x.from, y.at(v)}, {x.to, y.at(v)}})
		d.text("tick", "end", point{x.from - 6, y.at(v) + 4}, y.label(v))
	}
	for _, v := range x.ticks() {
		d.line("grid", []point{{x.at(v), y.from}, {x.at(v), y.to}})
		d.text("tick", "middle", point{x.at(v), y.from + 16}, xLabel(v))
	}
	d.text("axis", "end", point{x.to, y.from + 32}, xWords)
	d.text("axis", "start", point{4, 12}, yWords)
}

// box draws a filled rectangle with words that show when it is pointed at.
func (d *drawing) box(class string, x, y, width, height float64, words string) {
	if !(point{x, y}).drawable() || !(width > 0 && height >= 0) {
		return
	}
	fmt.Fprintf(&d.b, `<rect class="%s" x="%.1f" y="%.1f" width="%.1f" height="%.1f"><title>%s</title></rect>`,
		class, x, y, width, height, html.EscapeString(words))
}
