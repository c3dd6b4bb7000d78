package server

import (
	"cmp"
	"net/url"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/sensory"
)

type tastingsPage struct {
	Page
	Plans   []tastingLine
	Tests   []sensory.Test
	Words   []string
	Scores  []scoreLine
	ID      string
	Values  map[string]string
	Problem string
	Needed  int // answers for the risks asked about; 0: not asked
}

type tastingLine struct {
	cellar.TastingPlanned
	Answered int
}

// scoreLine is a vessel's scores under the store's words.
type scoreLine struct {
	Vessel string
	Means  []sensory.Mean // by word; Count 0 where nobody scored it
}

// Value is what was typed into a field.
func (p tastingsPage) Value(field string) string { return p.Values[field] }

func (s *Server) tastings(c *fiber.Ctx) error {
	typed := make(map[string]string)
	for _, field := range []string{"test", "alpha", "beta", "able"} {
		typed[field] = c.Query(field)
	}
	if typed["able"] == "" {
		return s.showTastings(c, typed, 0, nil)
	}
	needed, err := neededAnswers(c)
	return s.showTastings(c, typed, needed, err)
}

// neededAnswers works out what the address asks: how many answers for which risks.
func neededAnswers(c *fiber.Ctx) (int, error) {
	r := &asked{values: url.Values{"alpha": {c.Query("alpha")}, "beta": {c.Query("beta")}, "able": {c.Query("able")}}}
	wish := book.TastingWish{Test: sensory.Test(c.Query("test")), Alpha: r.share("alpha", 0.05), Beta: r.share("beta", 0.2), Able: r.share("able", 0)}
	if r.err != nil {
		return 0, r.err
	}
	return wish.Needed()
}

// share reads per cent as a share from 0 to 1; blank is what is usual.
func (r *asked) share(field string, usual float64) float64 {
	x := r.number(field)
	if x == nil {
		return usual
	}
	if !(*x > 0 && *x <= 100) {
		r.fail(field, r.values.Get(field), "must be above 0 and at most 100 per cent")
	}
	return *x / 100
}

func (s *Server) showTastings(c *fiber.Ctx, typed map[string]string, needed int, problem error) error {
	p := tastingsPage{Page: s.page(c, "Tastings", "vessels"), Values: typed, Tests: book.Tests, Needed: needed, ID: cmp.Or(typed["id"], s.book.NewID())}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem = said
	err := s.see(c, func(v *book.View) error {
		for _, plan := range slices.Backward(v.State.Desk.Plans) {
			result, err := v.TastingResult(plan)
			if err != nil {
				return err
			}
			p.Plans = append(p.Plans, tastingLine{plan, result.Answered})
		}
		p.Words = v.TastingWords()
		p.Scores = scoreLines(v, p.Words)
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "tastings", p)
}

const mostScoreLines = 200

func scoreLines(v *book.View, words []string) []scoreLine {
	var lines []scoreLine
	means := v.ScoreMeans()
	for _, code := range v.State.VesselCodes() {
		if means[code] == nil || len(lines) >= mostScoreLines {
			continue
		}
		line := scoreLine{Vessel: code}
		for _, word := range words {
			line.Means = append(line.Means, means[code][word])
		}
		lines = append(lines, line)
	}
	return lines
}

// planTasting draws a blind test up.
func (s *Server) planTasting(c *fiber.Ctx) error {
	f := &form{c: c}
	r := &asked{values: url.Values{"alpha": {f.text("alpha")}, "beta": {f.text("beta")}, "able": {f.text("able")}}}
	wish := book.TastingWish{
		Name: f.text("name"), Question: f.text("question"), Test: sensory.Test(f.text("test")), Expected: f.ticked("expected"),
		Samples: linesOf(f.text("samples")), Tasters: linesOf(f.text("tasters")),
		Alpha: r.share("alpha", 0.05), Beta: r.share("beta", 0.2), Able: r.share("able", 0),
	}
	err := r.err
	var e cellar.Entry
	if err == nil {
		e, err = s.book.PlanTasting(f.text("id"), s.who(c), wish)
	}
	if err != nil {
		return s.showTastings(c, f.typed(), 0, err)
	}
	return c.Redirect("/tastings/"+url.PathEscape(e.ID), fiber.StatusSeeOther)
}

// linesOf splits names at commas, semicolons and line ends; names may have blanks.
func linesOf(text string) []string {
	var names []string
	for _, name := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == '\n' || r == '\r' }) {
		if name = strings.TrimSpace(name); name != "" {
			names = append(names, name)
		}
	}
	return names
}

// setWords sets the list of words that the store scores under.
func (s *Server) setWords(c *fiber.Ctx) error {
	f := &form{c: c}
	if err := s.book.SetTastingWords(f.text("id"), s.who(c), linesOf(f.text("words"))); err != nil {
		return s.showTastings(c, f.typed(), 0, err)
	}
	return c.Redirect("/tastings?done=saved", fiber.StatusSeeOther)
}

// scoreVessel writes one person's tasting of a vessel down, as a sample.
func (s *Server) scoreVessel(c *fiber.Ctx) error {
	f := &form{c: c}
	senses := cellar.Senses{Taster: f.text("taster"), Colour: f.text("colour"), Nose: f.text("nose"), Palate: f.text("palate"), Scores: f.scores()}
	request := cellar.Request{When: s.book.Now(), Entry: "sample", Vessel: f.text("vessel"), Senses: &senses}
	err := f.err
	if err == nil {
		_, err = s.book.Record(book.Submission{ID: f.text("id"), Who: s.who(c), Request: request, Sure: true})
	}
	if err != nil {
		return s.showTastings(c, f.typed(), 0, err)
	}
	return c.Redirect("/tastings?done=saved#scores", fiber.StatusSeeOther)
}
