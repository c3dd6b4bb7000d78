package book

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/croze/internal/cellar"
)

// Engagement is something to do on a day, for a calendar.
type Engagement struct {
	Key    string // the same for as long as it is the same thing to do
	On     cellar.Day
	Since  cellar.Day // when it became due, if that lies before On; else 0
	Vessel string
	Place  string
	Title  string
	Words  string
}

// Diary lists what is due up to so many days ahead, the first first: looks by
// the owner's rhythm, aims, bottlings planned and floors approached. What is
// overdue stands on the day of the view.
func (v *View) Diary(days int) []Engagement {
	var due []Engagement
	add := func(e Engagement) {
		if e.On < v.On {
			e.On, e.Since = v.On, e.On
		}
		if e.On <= v.On+cellar.Day(days) {
			due = append(due, e)
		}
	}
	for _, line := range v.Stock() {
		if !line.Empty() {
			v.engagements(line, add)
		}
	}
	slices.SortStableFunc(due, func(a, b Engagement) int {
		return cmp.Or(cmp.Compare(a.On, b.On), compareRows(a.Place, b.Place), cmp.Compare(a.Key, b.Key))
	})
	return due
}

func (v *View) engagements(line StockLine, add func(Engagement)) {
	if rhythm := v.RhythmOf(cellar.VesselKind(line.Kind)); rhythm > 0 {
		last := lastLook(line)
		add(Engagement{
			Key: fmt.Sprintf("look-%s-%s", line.Vessel, last), On: last + cellar.Day(rhythm), Vessel: line.Vessel, Place: line.Place,
			Title: "Sample " + line.Vessel, Words: fmt.Sprintf("Last looked at on %s.", last),
		})
	}
	for _, aim := range v.AimsOf(line.Vessel) {
		title := "Look at " + line.Vessel + " again"
		if aim.For == cellar.AimBottle {
			title = "Bottle " + line.Vessel
		}
		add(Engagement{
			Key: "aim-" + aim.Entry.ID, On: aim.On, Vessel: line.Vessel, Place: line.Place, Title: title, Words: aim.Words,
		})
	}
	if days, near := v.nearsFloor(line); near {
		add(Engagement{
			Key: "floor-" + line.Vessel, On: v.On + cellar.Day(math.Floor(days)), Vessel: line.Vessel, Place: line.Place,
			Title: fmt.Sprintf("%s nears %.0f %% vol", line.Vessel, floorPct),
			Words: fmt.Sprintf("It holds %.1f %% vol now. At its drift it falls to %.0f %% vol about this day.", line.StrengthPct, floorPct),
		})
	}
}
