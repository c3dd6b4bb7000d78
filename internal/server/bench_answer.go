package server

import (
	"cmp"
	"encoding/json"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strconv"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/picture"
)

func itoa(i int) string { return strconv.Itoa(i) }

// makingView is one bottling of an answer, with what to send to keep it.
type makingView struct {
	blend.Making
	Keep  string // the plan to keep, without its file, as JSON
	Title string
}

// makings lists the bottlings of a result: its targets, or the one there is.
func makings(wish blend.Plan, r blend.Result) ([]makingView, error) {
	if r.Status == blend.StatusInfeasible {
		return nil, nil
	}
	if len(r.Targets) == 0 {
		m, err := makingOf(wish, blend.Making{Draws: r.Draws, WaterL: r.WaterL, WaterKg: r.WaterKg, Made: *r.Made})
		return []makingView{m}, err
	}
	var out []makingView
	for _, making := range r.Targets {
		m, err := makingOf(wish, making)
		if err != nil {
			return nil, err
		}
		out = append(out, m)
	}
	return out, nil
}

// Shown lists the shares worth a word, largest first.
func (m makingView) Shown() []cellar.Share {
	const least = 0.005 // less is shown as 0 %
	var shown []cellar.Share
	for name, x := range m.Made.Shares {
		if x >= least {
			shown = append(shown, cellar.Share{Name: name, Fraction: x})
		}
	}
	slices.SortFunc(shown, func(a, b cellar.Share) int {
		return cmp.Or(cmp.Compare(b.Fraction, a.Fraction), cmp.Compare(a.Name, b.Name))
	})
	return shown
}

func makingOf(wish blend.Plan, m blend.Making) (makingView, error) {
	keep, err := json.Marshal(book.Kept(wish, m.Draws, m.WaterKg, m.Made))
	title := m.Name
	if title == "" {
		title = fmt.Sprintf("%s L at %s %% vol", fewDigits(m.Made.VolumeL), fewDigits(m.Made.StrengthPct))
	}
	return makingView{m, string(keep), title}, err
}

func fewDigits(x float64) string { return strconv.FormatFloat(x, 'g', 4, 64) }

// sayChance never says that a thing is certain, nor that it cannot be.
func sayChance(x float64) string {
	const nearly = 0.999
	switch {
	case x > nearly:
		return "more than 99.9 %"
	case x < 1-nearly:
		return "less than 0.1 %"
	}
	return fewDigits(math.Round(1000*x)/10) + " %"
}

// KeepOf is what to send to keep an alternative, as JSON; "" when it is of
// several bottlings, which are kept one by one.
func (a *answerView) KeepOf(alternative blend.Alternative) (string, error) {
	r := alternative.Result
	if len(r.Targets) > 0 || r.Made == nil {
		return "", nil
	}
	keep, err := json.Marshal(book.Kept(a.Wish, r.Draws, r.WaterKg, *r.Made))
	return string(keep), err
}

// readKept reads what a form sent back to keep a plan.
func readKept(making, file, name string, wanted cellar.Day) (*cellar.Plan, error) {
	var f cellar.Plan
	if err := json.Unmarshal([]byte(making), &f); err != nil {
		return nil, &cellar.Problem{Kind: cellar.Invalid, Field: "making", Reason: "the plan did not arrive whole: plan it again"}
	}
	f.Name, f.Wanted, f.File = name, wanted, json.RawMessage(file)
	return &f, nil
}

// rangePicture draws what could be made, what is wanted, and the nearest that can be.
func rangePicture(wish blend.Plan, a book.Answer) template.HTML {
	if len(a.Reach.Outline) < 3 || wish.Target == nil {
		return ""
	}
	r := picture.Range{Title: "What can be made of these vessels within the limits"}
	for _, p := range a.Reach.Outline {
		r.Outline = append(r.Outline, picture.Place{Volume: p.VolumeL, Strength: p.StrengthPct})
	}
	wanted := func(p blend.Plan, word string) picture.Place {
		words := fmt.Sprintf("%s: %s L at %s %%", word, fewDigits(p.Target.VolumeL), fewDigits(p.Target.StrengthPct))
		return picture.Place{Volume: p.Target.VolumeL, Strength: p.Target.StrengthPct, Words: words}
	}
	r.Wanted = append(r.Wanted, wanted(wish, "wanted"))
	for _, repair := range a.Repairs {
		if t := repair.Plan.Target; t != nil && (t.VolumeL != wish.Target.VolumeL || t.StrengthPct != wish.Target.StrengthPct) {
			r.Offered = append(r.Offered, wanted(repair.Plan, "nearest"))
		}
	}
	return picture.ReachChart(r)
}

// PlanAddress is where the plan stands that an entry carried out or keeps.
func (p entryPage) PlanAddress() string {
	switch f := p.Entry.Fact.(type) {
	case *cellar.Plan:
		return "/plans/" + p.Entry.ID
	case *cellar.Blend:
		if f.Plan != "" {
			return "/plans/" + f.Plan
		}
	}
	return ""
}
