package server

import (
	"html/template"
	"net/url"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
)

type benchPage struct {
	Page
	Lines      []book.StockLine // what can be drawn on
	Sources    map[string]book.StockLine
	Objectives []string
	ShareNames []string
	ScoreWords []string
	Costs      map[string]string // registered, by vessel
	Plans      []book.PlanLine   // kept and waiting
	Fields     planFields
	File       string // the plan file, when the form cannot say the wish
	Problem    string
	Answer     *answerView
	Record     blendForm
	KeepID     string
}

// CostOf is what a litre of a vessel is registered to cost.
func (p benchPage) CostOf(code string) string { return p.Costs[code] }

// answerView is an answer as the page shows it.
type answerView struct {
	book.Answer
	KeepFile string       // the wish with its stock, to be kept
	Makings  []makingView // one, or one of each target
	Repairs  []repairView
	Range    template.HTML
	Surer    string // where the same wish is answered with 95 % to make it
	Keepable bool   // all its vessels are in the store
}

// repairView is a nearest plan: an address, or a file to send.
type repairView struct{ Words, Address, File string }

func (s *Server) bench(c *fiber.Ctx) error {
	p := benchPage{Page: s.page(c, "Bench", "bench")}
	p.Fields = planFields{VolumeL: "20", StrengthPct: "46", Objective: blend.OldestFirst, Water: true, Use: sent(c)["use"]}
	if err := s.book.See(book.Moment{}, p.offer); err != nil {
		return err
	}
	return s.render(c, "bench", &p)
}

// offer lists what can be drawn on and blended into.
func (p *benchPage) offer(v *book.View) error {
	p.Objectives = blend.Objectives()
	p.ShareNames, p.ScoreWords = v.ShareNames(), v.ScoreWords()
	p.Sources, p.Costs = make(map[string]book.StockLine), make(map[string]string)
	p.Plans = v.PlansWaiting()
	for _, line := range v.Stock() {
		if line.Empty() {
			p.Record.Empty = append(p.Record.Empty, line.Vessel)
			continue
		}
		p.Lines = append(p.Lines, line)
		p.Sources[line.Vessel] = line
		if cost, known := v.State.CostOf(line.Vessel); known {
			p.Costs[line.Vessel] = writtenExactly(cost)
		}
	}
	return nil
}

// wishFor sends the form on to the address of its answer, without what was left blank.
func (s *Server) wishFor(c *fiber.Ctx) error {
	fields := readPlanFields(sent(c))
	return c.Redirect(fields.Address()+"#plan", fiber.StatusSeeOther)
}

// sent is every field of a form or an address.
func sent(c *fiber.Ctx) url.Values {
	v := url.Values{}
	add := func(name, text []byte) { v.Add(string(name), string(text)) }
	c.Context().QueryArgs().VisitAll(add)
	c.Context().PostArgs().VisitAll(add)
	if form, err := c.MultipartForm(); err == nil {
		for name, texts := range form.Value {
			v[name] = append(v[name], texts...)
		}
	}
	return v
}

// plan solves the wish in the address and shows the answer below the form.
func (s *Server) plan(c *fiber.Ctx) error {
	p := benchPage{Page: s.page(c, "Bench", "bench"), Fields: readPlanFields(sent(c))}
	wish, err := s.wish(&p)
	if err == nil {
		err = p.work(wish)
	}
	if err != nil {
		if statusOf(err) == fiber.StatusInternalServerError {
			return err
		}
		p.Problem = p.Fields.spoken(err)
		c.Status(statusOf(err))
	}
	return s.renderBench(c, &p)
}

func (s *Server) renderBench(c *fiber.Ctx, p *benchPage) error {
	p.Record.ID, p.KeepID = s.book.NewID(), s.book.NewID()
	if p.Answer != nil {
		p.Record.planned(&p.Answer.Result, p.Sources)
	}
	return s.render(c, "bench", p)
}

// wish reads the form and has the store fill in what it names.
func (s *Server) wish(p *benchPage) (wish blend.Plan, err error) {
	err = s.book.See(book.Moment{}, func(v *book.View) error {
		if err := p.offer(v); err != nil {
			return err
		}
		if wish, err = p.Fields.plan(p.codes()); err != nil {
			return err
		}
		return v.FillPlan(&wish)
	})
	return wish, err
}

// codes lists the vessels that can be drawn on.
func (p *benchPage) codes() []string {
	codes := make([]string, len(p.Lines))
	for i, line := range p.Lines {
		codes[i] = line.Vessel
	}
	return codes
}

// work has the wish worked out and puts the answer into words and pictures.
func (p *benchPage) work(wish blend.Plan) error {
	found, err := book.WorkOut(wish)
	if err != nil {
		return err
	}
	a := &answerView{Answer: found, Keepable: true}
	for i := range wish.Sources {
		_, known := p.Sources[wish.Sources[i].ID]
		a.Keepable = a.Keepable && known
	}
	if err := p.repairs(a); err != nil {
		return err
	}
	a.Range = rangePicture(wish, found)
	if p.File == "" && wish.Chance == 0 {
		a.Surer = p.Fields.SurerAddress()
	}
	if a.Makings, err = makings(wish, found.Result); err != nil {
		return err
	}
	file, err := book.PlanFile(wish)
	a.KeepFile = string(file)
	p.Answer = a
	return err
}

func (p *benchPage) repairs(a *answerView) error {
	for _, r := range a.Answer.Repairs {
		if p.File == "" {
			fields := p.Fields.repaired(r.Plan)
			a.Repairs = append(a.Repairs, repairView{Words: r.Words, Address: fields.Address()})
			continue
		}
		file, err := book.PlanFile(r.Plan)
		if err != nil {
			return err
		}
		a.Repairs = append(a.Repairs, repairView{Words: r.Words, File: string(file)})
	}
	return nil
}

// spoken says what is wrong with a wish in the words of the form: a plan file
// counts its vessels and limits, a person knows them by name.
func (f *planFields) spoken(err error) string {
	text := spoken(err)
	for i, b := range f.Shares {
		text = strings.ReplaceAll(text, "limits.shares["+itoa(i)+"].", b.Of+", share, ")
	}
	for i, b := range f.Scores {
		text = strings.ReplaceAll(text, "limits.scores["+itoa(i)+"].", b.Of+", score, ")
	}
	for i, code := range slices.Backward(f.Use) {
		text = strings.ReplaceAll(text, "sources["+itoa(i)+"].", code+", ")
		text = strings.ReplaceAll(text, "sources["+itoa(i)+"]", code)
	}
	return strings.NewReplacer(
		"targets[0].", "", "targets[1].volume_l", "volume_2_l", "targets[1].strength_pct", "strength_2_pct", "target.", "", "limits.", "",
	).Replace(text)
}
