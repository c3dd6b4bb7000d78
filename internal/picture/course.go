package picture

import (
	"fmt"
	"html/template"
	"math"
	"time"
)

// Course is a quantity over time: an estimate with bounds, and what was read.
type Course struct {
	Title, Unit string
	Estimate    []Bounded
	Readings    []Read
	Now         float64 // days since 1970-01-01: what lies after it is a forecast
}

// Bounded is an estimate on a day with its 90 % bounds.
type Bounded struct{ Day, Mean, Low, High float64 }

// Read is one reading; Odd ones were set aside by the estimator.
type Read struct {
	Day, Value float64
	Odd        bool
	Words      string
}

const courseWidth, courseHeight = 640, 240

// CourseChart draws a course.
func CourseChart(c Course) template.HTML {
	x, y := c.axes()
	d := newDrawing("course", c.Title, "Time to the right. The band holds the estimate nine times in ten; dots are readings.", courseWidth, courseHeight)
	d.frame(x, y, "", c.Unit, yearLabel)
	var band, mean, ahead []point
	for _, b := range c.Estimate {
		band = append(band, point{x.at(b.Day), y.at(b.High)})
		p := point{x.at(b.Day), y.at(b.Mean)}
		if b.Day <= c.Now {
			mean = append(mean, p)
		} else {
			ahead = append(ahead, p)
		}
	}
	for i := len(c.Estimate) - 1; i >= 0; i-- {
		band = append(band, point{x.at(c.Estimate[i].Day), y.at(c.Estimate[i].Low)})
	}
	d.area("band", band)
	d.line("drift alone", mean)
	if len(mean) > 0 {
		ahead = append([]point{mean[len(mean)-1]}, ahead...)
	}
	d.line("drift alone forecast", ahead)
	for _, r := range c.Readings {
		class, words := "reading", r.Words
		if r.Odd {
			class, words = "reading odd", r.Words+" (set aside: it does not fit)"
		}
		d.dot(class, point{x.at(r.Day), y.at(r.Value)}, 3, words)
	}
	return d.done()
}

func (c Course) axes() (x, y axis) {
	lowX, highX, lowY, highY := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, b := range c.Estimate {
		lowX, highX = math.Min(lowX, b.Day), math.Max(highX, b.Day)
		lowY, highY = math.Min(lowY, b.Low), math.Max(highY, b.High)
	}
	for _, r := range c.Readings {
		lowX, highX = math.Min(lowX, r.Day), math.Max(highX, r.Day)
		lowY, highY = math.Min(lowY, r.Value), math.Max(highY, r.Value)
	}
	if math.IsInf(lowX, 0) {
		lowX, highX, lowY, highY = c.Now-365, c.Now, 0, 1
	}
	return timeAxis(lowX, highX), newAxis(lowY, highY, courseHeight-marginBottom, marginTop, 5)
}

// timeAxis has a tick at the start of each year, or every few years, or of
// each quarter if it is short.
func timeAxis(low, high float64) axis {
	const year = 365.25
	a := axis{low: low, high: math.Max(high, low+30), from: marginLeft, to: courseWidth - marginRight, step: year}
	switch span := a.high - a.low; {
	case span < 1.5*year:
		a.step = year / 4
	case span > 5*year:
		a.step = math.Ceil(span/year/5) * year
	}
	return a
}

func yearLabel(day float64) string {
	t := time.Unix(int64(day*24*60*60), 0).UTC()
	return fmt.Sprintf("%s %d", t.Month().String()[:3], t.Year())
}
