package server

import (
	"fmt"

	"example.org/croze/internal/book"
)

// tints are what the place map can be tinted by.
var tints = []string{"loss", "age", "strength"}

// Tints is for the template.
func (reviewPage) Tints() []string { return tints }

// placePicture is a place of the map: tiers from the top down, rows from the left.
type placePicture struct {
	Name  string
	Rows  []string // their names; none if no row has one
	Tiers []tierPicture
	Count int
}

type tierPicture struct {
	Name  string
	Cells [][]vesselCell
}

// vesselCell is a vessel on the map: its tint stands beside the figure that it
// is for, so that nothing hangs on the tint alone.
type vesselCell struct {
	Code, Kind, Text string
	Tint             int // 0 (lowest) to 4, and -1 for an empty vessel
}

func placePictures(places []book.MapPlace, by string) []placePicture {
	var out []placePicture
	for _, place := range places {
		p := placePicture{Name: place.Name, Count: place.Count}
		if len(place.Rows) > 1 || place.Rows[0] != "" {
			p.Rows = place.Rows
		}
		for _, tier := range place.Tiers {
			t := tierPicture{Name: tier}
			for _, row := range place.Rows {
				var cells []vesselCell
				for _, r := range place.Cells[tier][row] {
					cells = append(cells, cellOf(&r, by))
				}
				t.Cells = append(t.Cells, cells)
			}
			p.Tiers = append(p.Tiers, t)
		}
		out = append(out, p)
	}
	return out
}

// tintSteps are where the next tint begins.
var tintSteps = map[string][4]float64{
	"loss":     {1, 2, 4, 8},     // % a year
	"age":      {1, 3, 5, 8},     // years
	"strength": {45, 50, 55, 60}, // % vol
}

func cellOf(r *book.TableRow, by string) vesselCell {
	cell := vesselCell{Code: r.Vessel, Kind: fmt.Sprintf("%s %g L", r.Kind, r.CapacityL), Tint: -1, Text: "empty"}
	if r.Empty() {
		return cell
	}
	var value float64
	switch by {
	case "age":
		value = float64(r.YoungestDays) / daysPerYear
		cell.Text = sayDays(r.YoungestDays)
	case "strength":
		value = r.StrengthPct
		cell.Text = fmt.Sprintf("%.1f %% vol", value)
	default:
		value = r.LossPctPerYear
		cell.Text = fmt.Sprintf("%.1f %% a year", value)
	}
	cell.Tint = 0
	for _, step := range tintSteps[by] {
		if value >= step {
			cell.Tint++
		}
	}
	return cell
}
