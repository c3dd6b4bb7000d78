package book

import (
	"cmp"
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// BatchLine is a batch and where its alcohol is now, in litres of pure alcohol.
type BatchLine struct {
	Batch     *cellar.BatchState
	MadeL     float64 // pure alcohol that the run brought in; left-overs from elsewhere not counted
	UnfilledL float64
	In        []Whereabouts // vessels, largest first
	Bottled   []Whereabouts // lots, largest first
	InL       float64
	BottledL  float64
	GoneL     float64 // drawn, sampled, spilled, evaporated
}

// Whereabouts is some of a batch's pure alcohol in a holder, by the books.
type Whereabouts struct {
	Name         string
	PureAlcoholL float64
}

// Spirits lists the batches, newest first, and where they went.
func (v *View) Spirits() []BatchLine {
	lines := make(map[string]*BatchLine)
	for name, b := range v.State.Batches {
		lines[name] = &BatchLine{Batch: b}
	}
	for _, m := range v.State.Movements {
		if name, ok := m.To.Batch(); ok && m.From == cellar.Made && lines[name] != nil {
			lines[name].MadeL += float64(m.Amount.PureAlcohol())
		}
	}
	for _, a := range v.State.Accounts() {
		v.locate(a, lines)
	}
	for _, l := range lines {
		largestFirst(l.In)
		largestFirst(l.Bottled)
	}
	out := make([]BatchLine, 0, len(lines))
	for _, l := range lines {
		l.GoneL = l.MadeL - l.UnfilledL - l.InL - l.BottledL
		out = append(out, *l)
	}
	slices.SortFunc(out, func(a, b BatchLine) int {
		return cmp.Or(cmp.Compare(b.Batch.MadeOn, a.Batch.MadeOn), cmp.Compare(a.Batch.Name, b.Batch.Name))
	})
	return out
}

// locate adds what one account holds to the lines of its batches.
func (v *View) locate(a cellar.Account, lines map[string]*BatchLine) {
	byBatch := make(map[string]int64)
	for _, p := range v.State.ContentsOn(a, v.On).Parts {
		byBatch[p.Batch] += p.EthanolMg
	}
	class, name := a.Split()
	for batch, mg := range byBatch {
		line := lines[batch]
		if line == nil {
			continue
		}
		litres := float64(spirit.Amount{EthanolMg: mg}.PureAlcohol())
		switch class {
		case "vessel":
			line.InL += litres
			line.In = append(line.In, Whereabouts{name, litres})
		case "lot":
			line.BottledL += litres
			line.Bottled = append(line.Bottled, Whereabouts{name, litres})
		case "batch":
			line.UnfilledL += litres
		}
	}
}

func largestFirst(list []Whereabouts) {
	slices.SortFunc(list, func(a, b Whereabouts) int {
		return cmp.Or(cmp.Compare(b.PureAlcoholL, a.PureAlcoholL), cmp.Compare(a.Name, b.Name))
	})
}

// BatchHistory is the entries about a batch, newest first.
func (v *View) BatchHistory(name string) []HistoryLine {
	account := cellar.BatchAccount(name)
	var lines []HistoryLine
	for _, e := range slices.Backward(cellar.Standing(v.Entries)) {
		if slices.Contains(e.Fact.Subjects(), account) && !e.HappenedAt.After(v.At) {
			lines = append(lines, historyLine(e, ""))
		}
	}
	slices.SortStableFunc(lines, func(a, b HistoryLine) int { return b.At.Compare(a.At) })
	return lines
}
