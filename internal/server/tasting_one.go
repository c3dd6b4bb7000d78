package server

import (
	"fmt"
	"net/url"
	"slices"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/sensory"
)

type tastingPage struct {
	Page
	Plan    cellar.TastingPlanned
	Result  book.TastingResult
	Names   []string // of the samples
	Letters []string // that the key calls them by
	Sheets  []tastingSheet
	Ranking bool
	ID      string
	Values  map[string]string
	Problem string
}

// tastingSheet is what one taster gets, and the pourer's key to it.
type tastingSheet struct {
	Taster string
	Number int
	Cups   []sheetCup
	Said   string // the answer so far
}

type sheetCup struct {
	Code      string
	Letter    string // for the key alone
	Name      string
	Reference bool
}

// asks are what a taster is asked, by test.
var asks = map[sensory.Test]string{
	sensory.Triangle:     "Two of the three are the same. Taste from left to right and name the odd one. If you cannot tell, guess.",
	sensory.DuoTrio:      "The first is the reference. Name the one of the other two that is the same as it. If you cannot tell, guess.",
	sensory.PairedMore:   "Taste from left to right and name the one that has more of what is asked. If you cannot tell, guess.",
	sensory.PairedEither: "Taste from left to right and name the one that you would choose.",
	sensory.Ranking:      "Taste from left to right, then put them in order, the first one first.",
}

// Asks is what a taster is asked.
func (p tastingPage) Asks() string { return asks[sensory.Test(p.Plan.Test)] }

func (s *Server) tasting(c *fiber.Ctx) error { return s.showTasting(c, "tasting", nil, nil) }

// tastingSheets are for printing: the pourer's key, and a sheet for each taster.
func (s *Server) tastingSheets(c *fiber.Ctx) error {
	return s.showTasting(c, "tasting_sheets", nil, nil)
}

func (s *Server) showTasting(c *fiber.Ctx, template string, typed map[string]string, problem error) error {
	p := tastingPage{Page: s.page(c, "Tasting", "vessels"), ID: s.book.NewID(), Values: typed}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem = said
	err := s.glance(c, func(v *book.View) (err error) {
		if p.Plan, err = v.FindTasting(c.Params("id")); err != nil {
			return err
		}
		p.Result, err = v.TastingResult(p.Plan)
		return err
	})
	if err != nil {
		return err
	}
	p.Title, p.Ranking = p.Plan.Name, p.Plan.Test == string(sensory.Ranking)
	p.lay()
	return s.render(c, template, p)
}

func (p *tastingPage) lay() {
	for i, a := range p.Plan.Samples {
		p.Names = append(p.Names, sayAccount(a))
		p.Letters = append(p.Letters, string(rune('A'+i)))
	}
	for i, sitting := range p.Plan.Sittings {
		sheet := tastingSheet{Taster: sitting.Taster, Number: i}
		for _, cup := range sitting.Cups {
			code := fmt.Sprint(cup.Code)
			if cup.Reference {
				code = "reference"
			}
			sheet.Cups = append(sheet.Cups, sheetCup{code, p.Letters[cup.Sample], p.Names[cup.Sample], cup.Reference})
		}
		for i, code := range p.Result.Answers[sitting.Taster] {
			if i > 0 {
				sheet.Said += " "
			}
			sheet.Said += fmt.Sprint(code)
		}
		p.Sheets = append(p.Sheets, sheet)
	}
}

// Typed is what stands in the field of a taster's answer.
func (p tastingPage) Typed(sheet tastingSheet) string {
	if typed, posted := p.Values[answerField(sheet.Number)]; posted {
		return typed
	}
	return sheet.Said
}

func answerField(n int) string { return fmt.Sprintf("answer_%d", n) }

// answerTasting writes the answers of the sheets down; a blank one is left out.
func (s *Server) answerTasting(c *fiber.Ctx) error {
	f := &form{c: c}
	var answers []cellar.TastingAnswer
	err := s.glance(c, func(v *book.View) error {
		plan, err := v.FindTasting(c.Params("id"))
		if err != nil {
			return err
		}
		known := make(map[string][]int)
		if result, err := v.TastingResult(plan); err == nil {
			known = result.Answers
		}
		for i, sitting := range plan.Sittings {
			codes := f.codes(answerField(i))
			if len(codes) > 0 && !slices.Equal(codes, known[sitting.Taster]) {
				answers = append(answers, cellar.TastingAnswer{Taster: sitting.Taster, Codes: codes})
			}
		}
		return f.err
	})
	if err == nil && len(answers) > 0 {
		err = s.book.AnswerTasting(f.text("id"), s.who(c), c.Params("id"), answers)
	}
	if err != nil {
		if status := statusOf(err); status == fiber.StatusInternalServerError || status == fiber.StatusNotFound {
			return err
		}
		return s.showTasting(c, "tasting", f.typed(), err)
	}
	return c.Redirect("/tastings/"+url.PathEscape(c.Params("id"))+"?done=saved", fiber.StatusSeeOther)
}

// codes reads the numbers of cups.
func (f *form) codes(field string) []int {
	var codes []int
	for _, word := range wordsOf(f.text(field)) {
		n, ok := wholeNumber(word)
		if !ok && f.err == nil {
			f.err = &cellar.Problem{Kind: cellar.Invalid, Field: "answers", Value: word, Reason: "not the number of a cup"}
		}
		codes = append(codes, n)
	}
	return codes
}
