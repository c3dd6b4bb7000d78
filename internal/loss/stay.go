package loss

import (
	"math"
	"sort"
)

// stay is a time that a vessel spends in one place, until the next stay begins.
type stay struct {
	from  float64 // days
	place int     // index of the place, -1: none
	air   *air
}

// places lists those in which a vessel ever stood.
func (v *Vessel) places() []string {
	var list []string
	for _, m := range append([]Move{{Place: v.Place}}, v.Moves...) {
		if m.Place != "" {
			list = append(list, m.Place)
		}
	}
	return list
}

// stays says where a vessel stands when, in whatever order its moves are listed.
func (m *Model) stays(v *Vessel) []stay {
	moves := append([]Move(nil), v.Moves...)
	sort.Slice(moves, func(i, j int) bool {
		a, b := &moves[i], &moves[j]
		if a.At != b.At {
			return a.At < b.At
		}
		if a.Order != b.Order {
			return a.Order < b.Order
		}
		return a.Place < b.Place
	})
	list := []stay{m.stayIn(v.Place, math.Inf(-1))}
	for _, to := range moves {
		if !math.IsNaN(to.At) {
			list = append(list, m.stayIn(to.Place, to.At))
		}
	}
	return list
}

func (m *Model) stayIn(place string, from float64) stay {
	if i, known := m.places[place]; known {
		return stay{from, i, m.airs[i]}
	}
	return stay{from, -1, newAir(Climate{})}
}

// standing is where the vessel stands on a day.
func (h *history) standing(day float64) *stay {
	i := len(h.stays) - 1
	for i > 0 && h.stays[i].from > day {
		i--
	}
	return &h.stays[i]
}

// movesOn is the first moment after one day, and before another, at which the
// vessel is moved; that other day if it stays.
func (h *history) movesOn(from, to float64) float64 {
	for i := range h.stays {
		if at := h.stays[i].from; at > from && at < to {
			return at
		}
	}
	return to
}

// stands says whether the vessel ever stood in a place.
func (h *history) stands(place int) bool {
	for i := range h.stays {
		if h.stays[i].place == place {
			return true
		}
	}
	return false
}
