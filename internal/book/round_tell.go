package book

import (
	"fmt"

	"example.org/croze/internal/cellar"
)

// tellRound says in a sentence what a fact of the rounds was.
func tellRound(f cellar.Fact) string {
	switch f := f.(type) {
	case *cellar.Round:
		if len(f.Stops) == 1 {
			return "Began the round “" + f.Name + "” to one vessel"
		}
		return fmt.Sprintf("Began the round “%s” to %d vessels", f.Name, len(f.Stops))
	case *cellar.RoundSkip:
		return "Skipped " + f.Vessel + " on a round"
	case *cellar.Rhythm:
		if f.Days == 0 {
			return fmt.Sprintf("Set that no %s is due by the calendar", f.Of)
		}
		return fmt.Sprintf("Set that a %s is looked at every %d days", f.Of, f.Days)
	case *cellar.Aim:
		if f.For == cellar.AimReady {
			return tellReady(f)
		}
		if f.For == cellar.AimBottle {
			return "Planned to bottle it from " + f.On.String()
		}
		return "Set to be looked at again from " + f.On.String()
	case *cellar.Relabel:
		return "Its label was replaced"
	}
	return tellDesk(f)
}
