package book

import (
	"fmt"
	"strings"

	"example.org/croze/internal/cellar"
)

// tellDesk says in a sentence what a fact beside the books was.
func tellDesk(f cellar.Fact) string {
	switch f := f.(type) {
	case *cellar.Trial:
		return fmt.Sprintf("Set up the trial “%s” of %s", f.Name, strings.Join(f.Vessels, ", "))
	case *cellar.WarmTrial:
		_, from := f.From.Split()
		return fmt.Sprintf("Kept %g L of %s at %g °C for %g hours", f.VolumeL, from, f.TempC, f.Hours)
	case *cellar.TastingWords:
		return "Set the words to score under: " + strings.Join(f.Words, ", ")
	case *cellar.TastingPlan:
		return fmt.Sprintf("Planned the tasting “%s”, a %s for %d", f.Name, f.Test, len(f.Sittings))
	case *cellar.TastingAnswers:
		return fmt.Sprintf("Wrote down %d answers of a tasting", len(f.Answers))
	case *cellar.Value:
		return tellValue(f)
	}
	return f.Kind()
}

func tellValue(f *cellar.Value) string {
	of := f.Vessel
	if of == "" {
		of = "a " + string(f.Of)
	}
	if f.PerL == 0 {
		return "Took back the value of what is in " + of
	}
	return fmt.Sprintf("Valued a litre in %s at %.2f", of, f.PerL)
}

// tellReady says what was asked of a vessel.
func tellReady(f *cellar.Aim) string {
	if f.Ready == nil {
		return "Took back what it should come to"
	}
	asked := askedOf(*f.Ready)
	if len(asked) == 0 {
		return "Set to be ready as it is"
	}
	return "Set to be ready with " + strings.Join(asked, ", ")
}

// askedOf lists what makes a vessel ready, in words.
func askedOf(r cellar.Ready) []string {
	var asked []string
	say := func(is bool, format string, args ...any) {
		if is {
			asked = append(asked, fmt.Sprintf(format, args...))
		}
	}
	say(r.AgeDays > 0, "%s in wood", cellar.SpanBetween(0, cellar.Day(r.AgeDays)))
	say(r.FloorPct > 0, "at least %.1f %% vol", r.FloorPct)
	say(r.Contact > 0, "wood contact of %.0f cm²·years a litre", r.Contact)
	say(r.MostWood > 0, "no more than %.0f cm²·years a litre", r.MostWood)
	say(r.LatestDays > 0, "no older than %s", cellar.SpanBetween(0, cellar.Day(r.LatestDays)))
	for _, band := range r.Scores {
		say(true, "%s %g to %g", band.Of, band.Min, band.Max)
	}
	return asked
}
