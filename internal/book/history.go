package book

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
)

// HistoryLine is one entry of a vessel's or a batch's history, in words.
type HistoryLine struct {
	Seq        uint64
	ID         string
	Day        cellar.Day
	At         time.Time
	RecordedAt time.Time
	Who        string
	Kind       string
	Text       string
	Late       bool // written up on a later day than it happened
	Strength   *cellar.Reading
	Content    *cellar.Content
	Senses     *cellar.Senses
	Note       string
}

// History is a vessel's entries, newest first.
func (v *View) History(code string) []HistoryLine {
	vessel := v.State.Vessels[code]
	lines := make([]HistoryLine, 0, len(vessel.Events))
	for _, e := range slices.Backward(vessel.Events) {
		line := historyLine(e.Entry, code)
		line.Strength, line.Content = e.Reading, e.Content
		lines = append(lines, line)
	}
	return lines
}

func historyLine(e cellar.Entry, seenFrom string) HistoryLine {
	line := HistoryLine{
		Seq: e.Seq, ID: e.ID, Day: e.Day(), At: e.HappenedAt, RecordedAt: e.RecordedAt,
		Who: e.Who, Kind: e.Fact.Kind(), Text: Tell(e.Fact, seenFrom),
		Late: cellar.DayOf(e.RecordedAt) > e.Day(),
	}
	if s, ok := e.Fact.(*cellar.Sample); ok {
		line.Senses = s.Senses
	}
	line.Note = noteOf(e.Fact)
	return line
}

func noteOf(f cellar.Fact) string {
	switch f := f.(type) {
	case *cellar.Fill:
		return f.Note
	case *cellar.TopUp:
		return f.Note
	case *cellar.Transfer:
		return f.Note
	case *cellar.Sample:
		return f.Note
	case *cellar.Draw:
		return f.Note
	case *cellar.Spill:
		return f.Note
	case *cellar.Reduce:
		return f.Note
	case *cellar.Blend:
		return f.Note
	case *cellar.Bottle:
		return f.Note
	case *cellar.Empty:
		return f.Note
	case *cellar.Move:
		return f.Note
	case *cellar.Note:
		return f.Note
	case *cellar.Rinse:
		return f.Note
	case *cellar.Close:
		return f.Note
	case *cellar.Explain:
		return f.Words
	case *cellar.Void:
		return f.Reason
	case *cellar.RoundSkip:
		return f.Reason
	case *cellar.Aim:
		return f.Words
	case *cellar.Relabel:
		return f.Reason
	}
	return ""
}

// Tell says in a sentence what a fact was, seen from one of the vessels that
// it is about ("" for nobody's).
func Tell(f cellar.Fact, seenFrom string) string {
	switch f := f.(type) {
	case *cellar.Fill:
		return tellPour("Filled", f.Pour, seenFrom)
	case *cellar.TopUp:
		return tellPour("Topped up", f.Pour, seenFrom)
	case *cellar.Transfer:
		return tellPour("Moved", f.Pour, seenFrom)
	case *cellar.Sample:
		return tellSample(f)
	case *cellar.Draw:
		return "Drew " + tellMeasure(f.Measure)
	case *cellar.Spill:
		return "Spilled " + tellMeasure(f.Measure)
	case *cellar.Reduce:
		return fmt.Sprintf("Added %.2f kg of water", float64(f.Water.Mass()))
	case *cellar.Blend:
		return tellBlend(f, seenFrom)
	case *cellar.Bottle:
		return fmt.Sprintf("Bottled %s as lot %s", tellMeasure(f.Measure), f.Lot)
	case *cellar.Empty:
		return tellEmpty(f)
	default:
		return tellRest(f, seenFrom)
	}
}

func tellRest(f cellar.Fact, seenFrom string) string {
	switch f := f.(type) {
	case *cellar.Move:
		return "Moved to " + f.Place
	case *cellar.Note:
		return "Note"
	case *cellar.Void:
		return "Took back an entry"
	case *cellar.Rinse:
		return tellRinse(f, seenFrom)
	case *cellar.Close:
		return fmt.Sprintf("Closed %s to %s", f.From, f.To)
	case *cellar.Limit:
		return tellLimit(f)
	case *cellar.Explain:
		return fmt.Sprintf("Explained the loss of %s from %s to %s", f.Vessel, f.From, f.To)
	case *cellar.VesselFact:
		return fmt.Sprintf("Registered %s %s, %g L", f.Vessel.Kind, f.Code, float64(f.CapacityL))
	case *cellar.BatchFact:
		return "Registered batch " + f.Name
	case *cellar.PlaceFact:
		return "Registered place " + f.Name
	case *cellar.Plan:
		return fmt.Sprintf("Planned “%s”: %.2f L at %.1f %% vol", f.Name, f.VolumeL, f.StrengthPct)
	case *cellar.Cost:
		return fmt.Sprintf("Said that a litre cost %g", f.PerL)
	}
	return tellRound(f)
}

func tellMeasure(m cellar.Measure) string {
	text := fmt.Sprintf("%.2f L at %.1f %% vol", float64(m.Amount.Volume()), float64(m.Amount.Strength()))
	if m.Basis == cellar.Computed {
		text += " (estimated)"
	}
	return text
}

func tellPour(verb string, p cellar.Pour, seenFrom string) string {
	_, from := p.From.Split()
	if p.From == cellar.VesselAccount(seenFrom) {
		return fmt.Sprintf("Gave %s to %s", tellMeasure(p.Measure), p.Vessel)
	}
	if verb == "Moved" {
		return fmt.Sprintf("Took in %s from %s", tellMeasure(p.Measure), from)
	}
	return fmt.Sprintf("%s with %s from %s", verb, tellMeasure(p.Measure), from)
}

func tellSample(f *cellar.Sample) string {
	var said []string
	if f.Reading != nil {
		said = append(said, fmt.Sprintf("%.1f %% vol", float64(f.Reading.StrengthPct)))
	}
	if f.Content != nil {
		said = append(said, fmt.Sprintf("%.2f L by %s", float64(f.Content.VolumeL), f.Content.Method))
	}
	if f.Taken != nil {
		said = append(said, fmt.Sprintf("took %.0f mL", 1000*float64(f.Taken.Amount.Volume())))
	}
	if f.Senses != nil {
		said = append(said, "tasted")
	}
	if len(said) == 0 {
		return "Looked at"
	}
	return "Sampled: " + strings.Join(said, ", ")
}

func tellBlend(f *cellar.Blend, seenFrom string) string {
	for _, d := range f.Draws {
		if d.From == cellar.VesselAccount(seenFrom) {
			return fmt.Sprintf("Gave %s to the blend in %s", tellMeasure(d.Measure), f.Into)
		}
	}
	names := make([]string, len(f.Draws))
	for i, d := range f.Draws {
		_, names[i] = d.From.Split()
	}
	return fmt.Sprintf("Blended from %s and %.2f kg of water", strings.Join(names, ", "), float64(f.Water.Mass()))
}

func tellEmpty(f *cellar.Empty) string {
	if f.Measure == nil {
		return "Emptied"
	}
	return "Emptied: " + tellMeasure(*f.Measure) + " came out"
}

func tellRinse(f *cellar.Rinse, seenFrom string) string {
	code, ok := f.Into.Vessel()
	switch {
	case !ok:
		return "Rinsed: " + tellMeasure(f.Measure) + " came out and was drawn"
	case code == seenFrom:
		return "Took in " + tellMeasure(f.Measure) + " that " + f.Vessel + " was rinsed with"
	}
	return "Rinsed: " + tellMeasure(f.Measure) + " came out and went into " + code
}

func tellLimit(f *cellar.Limit) string {
	if f.PctPerYear == 0 {
		return fmt.Sprintf("Set no limit to the loss of a %s", f.Of)
	}
	return fmt.Sprintf("Set the limit of a %s's loss to %g %% a year", f.Of, f.PctPerYear)
}

// Outlier says whether the estimator set a reading of this entry aside.
func (v *View) Outliers(code string) map[time.Time]bool {
	odd := make(map[time.Time]bool)
	for _, e := range v.Model.Outliers(code) {
		odd[timeOfDay(e.At)] = true
	}
	return odd
}

// PathPoint is a vessel's estimated state on a day.
type PathPoint struct {
	Day   cellar.Day
	State loss.State
}

// Path is a vessel's way from its filling to the day of the view, in steps of
// so many days.
func (v *View) Path(code string, step int) []PathPoint {
	return remember(v, code, fmt.Sprint("path", step), func() []PathPoint { return v.path(code, step) })
}

func (v *View) path(code string, step int) []PathPoint {
	line := v.StockLine(code)
	filled, err := cellar.ParseDay(line.FilledOn)
	if err != nil || step < 1 {
		return nil
	}
	states := v.Model.Path(code, dayNumber(filled.Time())+1, dayNumber(v.At), float64(step))
	points := make([]PathPoint, len(states))
	for i, s := range states {
		points[i] = PathPoint{cellar.DayOf(timeOfDay(s.At)), s}
	}
	return points
}

// Ahead is a vessel's way from the day of the view on, in steps of so many days.
func (v *View) Ahead(code string, days, step int) []PathPoint {
	return remember(v, code, fmt.Sprint("ahead", days, step), func() []PathPoint { return v.ahead(code, days, step) })
}

func (v *View) ahead(code string, days, step int) []PathPoint {
	var points []PathPoint
	for d := step; d <= days; d += step {
		if s, known := v.Model.State(code, dayNumber(v.At)+float64(d)); known {
			points = append(points, PathPoint{v.On + cellar.Day(d), s})
		}
	}
	return points
}

// Reading is one look at a vessel in its present filling.
type Reading struct {
	Day      cellar.Day
	Strength *cellar.Reading
	Content  *cellar.Content
	Odd      bool // the estimator set it aside
}

// Readings lists the looks at a vessel since it was last filled, oldest first.
func (v *View) Readings(code string) []Reading {
	odd := v.Outliers(code)
	var readings []Reading
	for _, e := range v.State.Vessels[code].Events {
		if e.Filled {
			readings = nil
		}
		if e.Reading == nil && e.Content == nil {
			continue
		}
		at := timeOfDay(dayNumber(e.Entry.HappenedAt))
		readings = append(readings, Reading{e.Entry.Day(), e.Reading, e.Content, odd[at]})
	}
	return readings
}
