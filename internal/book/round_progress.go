package book

import (
	"slices"
	"time"

	"example.org/croze/internal/cellar"
)

// StopStatus says how far a round has come at one of its vessels.
type StopStatus string

// The states of a stop. All but the first are behind the walker.
const (
	StopOpen    StopStatus = "open"
	StopDone    StopStatus = "done"
	StopSkipped StopStatus = "skipped"
	StopEmptied StopStatus = "empty" // there is nothing left to sample
)

// StopLine is one vessel of a round.
type StopLine struct {
	Vessel, Place, Reason string
	Status                StopStatus
	EntryID               string // what settled it
	Who                   string
	At                    time.Time
	Words                 string // what was found, or why it was skipped
	Stock                 StockLine
}

// Open says whether the walker still has to go there.
func (l StopLine) Open() bool { return l.Status == StopOpen }

// RoundLine is a round as it stands.
type RoundLine struct {
	ID, Name, Who       string
	At                  time.Time
	Stops               []StopLine
	Done, Skipped, Left int // emptied vessels count as skipped
}

// Finished says whether nothing is left to do in it.
func (r RoundLine) Finished() bool { return r.Left == 0 }

// Behind is how many of its vessels are settled.
func (r RoundLine) Behind() int { return r.Done + r.Skipped }

// Next returns the first vessel that is still to be visited, after a vessel if
// there is one, and otherwise from the start.
func (r RoundLine) Next(after string) (StopLine, bool) {
	from := slices.IndexFunc(r.Stops, func(l StopLine) bool { return l.Vessel == after }) + 1
	for i := range r.Stops {
		if stop := r.Stops[(from+i)%len(r.Stops)]; stop.Open() {
			return stop, true
		}
	}
	return StopLine{}, false
}

// Rounds lists the rounds, latest first.
func (v *View) Rounds() []RoundLine {
	lines := make([]RoundLine, 0, len(v.State.Rounds))
	for _, begun := range slices.Backward(v.State.Rounds) {
		lines = append(lines, v.roundLine(begun))
	}
	return lines
}

// FindRound finds a round by the ID of the entry that began it.
func (v *View) FindRound(id string) (RoundLine, error) {
	for _, begun := range v.State.Rounds {
		if begun.Entry.ID == id {
			return v.roundLine(begun), nil
		}
	}
	return RoundLine{}, &cellar.Problem{Kind: cellar.NotFound, Field: "round", Value: id, Reason: "no such round was begun, or it was taken back"}
}

func (v *View) roundLine(begun cellar.Begun) RoundLine {
	r := RoundLine{ID: begun.Entry.ID, Name: begun.Name, Who: begun.Entry.Who, At: begun.Entry.HappenedAt}
	for _, stop := range begun.Stops {
		line := v.stopLine(begun, stop)
		switch line.Status {
		case StopOpen:
			r.Left++
		case StopDone:
			r.Done++
		default:
			r.Skipped++
		}
		r.Stops = append(r.Stops, line)
	}
	return r
}

// stopLine finds the last thing that settled a stop. A sample counts that was
// recorded after the round began and is not of a day before it.
func (v *View) stopLine(begun cellar.Begun, stop cellar.RoundStop) StopLine {
	vessel := v.State.Vessels[stop.Vessel]
	line := StopLine{
		Vessel: stop.Vessel, Place: vessel.PlacedAt, Reason: stop.Reason, Status: StopOpen, Stock: v.StockLine(stop.Vessel),
	}
	settle := func(status StopStatus, e cellar.Entry, words string) StopLine {
		line.Status, line.EntryID, line.Who, line.At, line.Words = status, e.ID, e.Who, e.HappenedAt, words
		return line
	}
	for _, event := range slices.Backward(vessel.Events) {
		e := event.Entry
		if e.Fact.Kind() == "sample" && e.Seq > begun.Entry.Seq && e.Day() >= begun.Entry.Day() {
			return settle(StopDone, e, Tell(e.Fact, stop.Vessel))
		}
	}
	for _, skip := range slices.Backward(v.State.Skips) {
		if skip.Round == begun.Entry.ID && skip.Vessel == stop.Vessel {
			return settle(StopSkipped, skip.Entry, skip.Reason)
		}
	}
	if v.State.IsEmpty(stop.Vessel) {
		line.Status, line.Words = StopEmptied, "it is empty"
	}
	return line
}
