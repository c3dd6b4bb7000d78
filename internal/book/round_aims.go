package book

import (
	"cmp"
	"slices"

	"example.org/croze/internal/cellar"
)

// aimSlackDays before its day a look counts for an aim already: nobody comes
// back a week later only to keep a date.
const aimSlackDays = 14

// Aims lists the aims that are still to be met, the next first.
func (v *View) Aims() []cellar.Aimed { return remember(v, "", "aims", v.aims) }

func (v *View) aims() []cellar.Aimed {
	var open []cellar.Aimed
	for _, aim := range v.State.Aims {
		if aim.For != cellar.AimReady && v.isOpen(aim) {
			open = append(open, aim)
		}
	}
	slices.SortStableFunc(open, func(a, b cellar.Aimed) int {
		return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Vessel, b.Vessel))
	})
	return open
}

// AimsOf lists the aims for a vessel that are still to be met, the next first.
func (v *View) AimsOf(code string) []cellar.Aimed {
	var own []cellar.Aimed
	for _, aim := range v.Aims() {
		if aim.Vessel == code {
			own = append(own, aim)
		}
	}
	return own
}

// isOpen says whether an aim is still to be met: the vessel was not emptied
// since it was set, and not looked at (or bottled) around its day or later.
func (v *View) isOpen(aim cellar.Aimed) bool {
	if v.State.IsEmpty(aim.Vessel) {
		return false
	}
	for _, e := range v.State.Vessels[aim.Vessel].Events {
		since := e.Entry.HappenedAt.After(aim.Entry.HappenedAt)
		if since && (e.Filled || e.Emptied || meets(e.Entry, aim.Aim)) {
			return false
		}
	}
	return true
}

func meets(e cellar.Entry, aim *cellar.Aim) bool {
	if e.Day() < aim.On-aimSlackDays {
		return false
	}
	if aim.For == cellar.AimBottle {
		return e.Fact.Kind() == "bottle"
	}
	return e.Fact.Kind() == "sample"
}
