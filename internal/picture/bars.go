package picture

import (
	"fmt"
	"html/template"
	"math"
)

// Bars are amounts in bands, several times over: one strip for each time, under
// one another and to one scale, each bar with its number above it.
type Bars struct {
	Title, Words string
	Bands        []string
	Strips       []Strip
}

// Strip is one row of bars.
type Strip struct {
	Words  string
	Values []float64
	Beside []float64 // drawn as an outline behind, to compare with; nil for none
}

const barsWidth, stripHeight = 720, 110

// BarsChart draws bars. Numbers are rounded to whole units from 10 on.
func BarsChart(b Bars) template.HTML {
	d := newDrawing("bars", b.Title, b.Words, barsWidth, float64(len(b.Strips)*stripHeight+30))
	most := 0.0
	for _, s := range b.Strips {
		for i, v := range s.Values {
			most = math.Max(most, v)
			if s.Beside != nil {
				most = math.Max(most, s.Beside[i])
			}
		}
	}
	wide := (barsWidth - 20.0) / float64(max(1, len(b.Bands)))
	for n, s := range b.Strips {
		floor := float64(n+1)*stripHeight - 8
		d.text("axis", "start", point{10, floor - stripHeight + 22}, s.Words)
		d.line("grid", []point{{10, floor}, {barsWidth - 10, floor}})
		for i, v := range s.Values {
			x := 10 + wide*float64(i)
			tall := func(v float64) float64 {
				if most == 0 {
					return 0
				}
				return (stripHeight - 48) * v / most
			}
			top := v // of what stands there: the number is above both
			if s.Beside != nil && s.Beside[i] > 0 {
				top = math.Max(v, s.Beside[i])
				d.box("beside", x+2, floor-tall(s.Beside[i]), wide-4, tall(s.Beside[i]), fmt.Sprintf("%s: %.1f", b.Bands[i], s.Beside[i]))
			}
			if v > 0 {
				d.box("bar", x+5, floor-tall(v), wide-10, tall(v), fmt.Sprintf("%s: %.1f", b.Bands[i], v))
				d.text("number", "middle", point{x + wide/2, floor - tall(top) - 4}, short(v))
			}
		}
	}
	for i, band := range b.Bands {
		d.text("tick", "middle", point{10 + wide*(float64(i)+0.5), float64(len(b.Strips)*stripHeight) + 10}, band)
	}
	return d.done()
}

func short(v float64) string {
	if v < 10 {
		return fmt.Sprintf("%.1f", v)
	}
	return fmt.Sprintf("%.0f", v)
}
