package book

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/croze/internal/cellar"
)

// sameFillDays is how far apart fills from one batch may lie to count as made at once.
const sameFillDays = 3

// Proposal is a trial that nobody set up, though the vessels for one are there.
type Proposal struct {
	Name    string
	Vessels []string
	Why     string
}

// Proposals finds vessels that were filled from one batch at the same time and
// differ in something, and stand in no trial together yet.
func (v *View) Proposals() []Proposal {
	return remember(v, "", "proposals", func() []Proposal {
		var proposals []Proposal
		for _, group := range v.sameFills() {
			if p := v.propose(group); len(p.Vessels) > 1 && !v.inTrial(p.Vessels) {
				proposals = append(proposals, p)
			}
		}
		return proposals
	})
}

// filledFrom is a vessel whose present filling came from a batch alone.
type filledFrom struct {
	vessel, batch string
	on            cellar.Day
}

func (v *View) sameFills() [][]filledFrom {
	var fills []filledFrom
	for _, code := range v.State.VesselCodes() {
		if v.State.IsEmpty(code) {
			continue
		}
		e, ok := v.lastFill(code)
		if !ok {
			continue
		}
		if fill, is := e.Entry.Fact.(*cellar.Fill); is {
			if batch, from := fill.From.Batch(); from {
				fills = append(fills, filledFrom{code, batch, e.Entry.Day()})
			}
		}
	}
	slices.SortStableFunc(fills, func(a, b filledFrom) int { return cmp.Or(cmp.Compare(a.batch, b.batch), cmp.Compare(a.on, b.on)) })
	var groups [][]filledFrom
	for i, f := range fills {
		if i > 0 && fills[i-1].batch == f.batch && f.on-fills[i-1].on <= sameFillDays {
			groups[len(groups)-1] = append(groups[len(groups)-1], f)
			continue
		}
		groups = append(groups, []filledFrom{f})
	}
	return groups
}

// lastFill is the event with which the present filling began.
func (v *View) lastFill(code string) (cellar.Event, bool) {
	for _, e := range slices.Backward(v.State.Vessels[code].Events) {
		if e.Filled {
			return e, true
		}
	}
	return cellar.Event{}, false
}

// propose names what differs between vessels of one fill.
func (v *View) propose(group []filledFrom) Proposal {
	p := Proposal{Name: group[0].batch + " in " + fmt.Sprint(len(group))}
	kinds, woods, states := make(map[string]bool), make(map[string]bool), make(map[string]bool)
	for _, f := range group[:min(len(group), cellar.MostInTrial)] {
		vessel := v.State.Vessels[f.vessel].Vessel
		if !vessel.Kind.Wooden() {
			continue
		}
		kinds[string(vessel.Kind)], woods[vessel.Wood], states[string(vessel.WoodState)] = true, true, true
		p.Vessels = append(p.Vessels, f.vessel)
	}
	var differ []string
	for _, d := range []struct {
		names map[string]bool
		words string
	}{{kinds, "kind of vessel"}, {woods, "wood"}, {states, "age of the wood"}} {
		if len(d.names) > 1 {
			differ = append(differ, d.words)
		}
	}
	if len(differ) == 0 {
		differ = []string{"size or place only"}
	}
	p.Why = fmt.Sprintf("filled from %s on %s; they differ in %s", group[0].batch, group[0].on, listed(differ))
	return p
}

// listed joins words with commas, and the last with an "and".
func listed(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " and " + words[last]
}

func (v *View) inTrial(codes []string) bool {
	for _, t := range v.State.Desk.Trials {
		inside := 0
		for _, code := range codes {
			if slices.Contains(t.Vessels, code) {
				inside++
			}
		}
		if inside == len(codes) {
			return true
		}
	}
	return false
}

// SetUpTrial keeps a trial of vessels named in any spelling.
func (b *Book) SetUpTrial(id, who string, trial cellar.Trial) (cellar.Entry, error) {
	for i, written := range trial.Vessels {
		code, err := b.codeOf("vessels", written)
		if err != nil {
			return cellar.Entry{}, err
		}
		trial.Vessels[i] = code
	}
	if err := cellar.CheckTrial(&trial); err != nil {
		return cellar.Entry{}, err
	}
	return b.postDesk(id, who, &trial)
}

// RecordWarmTrial keeps a warm trial of spirit from a batch or vessel as named.
func (b *Book) RecordWarmTrial(id, who, from string, warm cellar.WarmTrial) error {
	account, err := b.accountOf("from", from)
	if err != nil {
		return err
	}
	warm.From = account
	if err := cellar.CheckWarmTrial(&warm); err != nil {
		return err
	}
	_, err = b.postDesk(id, who, &warm)
	return err
}

// accountOf finds what a name means: a vessel in any spelling, a batch, or a
// bottling; "batch:X" and the like where several have it.
func (b *Book) accountOf(field, written string) (cellar.Account, error) {
	state := b.shown.Load().state
	class, name := cellar.Account(written).Split()
	switch {
	case class == "vessel" || class == "batch" || class == "lot":
	default:
		class, name = "", written
	}
	if vessel, known := state.FindVessel(name); known && (class == "" || class == "vessel") {
		return cellar.VesselAccount(vessel.Code), nil
	}
	if state.Batches[name] != nil && (class == "" || class == "batch") {
		return cellar.BatchAccount(name), nil
	}
	if state.Lots[name] != nil && (class == "" || class == "lot") {
		return cellar.LotAccount(name), nil
	}
	return "", &cellar.Problem{Kind: cellar.NotFound, Field: field, Value: written, Reason: "no vessel, batch or bottling has this name"}
}
