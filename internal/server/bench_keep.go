package server

import (
	"net/url"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// keepPlan keeps a plan that was worked out and leads to the vat.
func (s *Server) keepPlan(c *fiber.Ctx) error {
	f := &form{c: c}
	wanted := f.day("wanted")
	plan, err := readKept(c.FormValue("making"), c.FormValue("file"), f.text("plan_name"), wanted)
	if f.err != nil {
		err = f.err
	}
	var e cellar.Entry
	if err == nil {
		e, err = s.book.KeepPlan(f.text("id"), s.who(c), plan)
	}
	if err != nil {
		return s.keepAgain(c, err)
	}
	return c.Redirect("/plans/"+url.PathEscape(e.ID)+"?done=kept", fiber.StatusSeeOther)
}

// keepAgain answers the wish once more from the file that was to be kept, with
// what is wrong with its name or its day.
func (s *Server) keepAgain(c *fiber.Ctx, problem error) error {
	wish, err := blend.Parse([]byte(c.FormValue("file")))
	if err != nil {
		return problem
	}
	p := benchPage{Page: s.page(c, "Bench", "bench"), File: c.FormValue("file")}
	if err := s.book.See(book.Moment{}, p.offer); err != nil {
		return err
	}
	if err := p.work(wish); err != nil {
		return problem
	}
	return s.benchWith(c, &p, problem)
}

type plansPage struct {
	Page
	Plans []book.PlanLine
}

func (s *Server) plans(c *fiber.Ctx) error {
	p := plansPage{Page: s.page(c, "Plans", "bench")}
	err := s.see(c, func(v *book.View) error {
		p.Plans = v.Plans()
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "bench_plans", p)
}

type costsPage struct {
	Page
	Lines   []book.StockLine
	Values  map[string]string
	Problem string
}

// Value is what stands in a vessel's field.
func (p costsPage) Value(code string) string { return p.Values[code] }

func (s *Server) costs(c *fiber.Ctx) error { return s.showCosts(c, nil, nil) }

func (s *Server) showCosts(c *fiber.Ctx, problem error, typed map[string]string) error {
	p := costsPage{Page: s.page(c, "What a litre cost", "bench"), Values: typed}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem = said
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		var b benchPage
		err := b.offer(v)
		p.Lines = b.Lines
		if p.Values == nil {
			p.Values = b.Costs
		}
		return err
	})
	if err != nil {
		return err
	}
	return s.render(c, "bench_costs", p)
}

// saveCosts registers the costs that were written; a blank field says nothing.
func (s *Server) saveCosts(c *fiber.Ctx) error {
	r, perL, typed := &planReader{}, make(map[string]float64), make(map[string]string)
	for name, texts := range sent(c) {
		const prefix = "cost:"
		if len(name) <= len(prefix) || name[:len(prefix)] != prefix || len(texts) == 0 {
			continue
		}
		code := name[len(prefix):]
		typed[code] = texts[0]
		if texts[0] != "" {
			perL[code] = r.number("cost_per_l of "+code, texts[0])
		}
	}
	err := r.err
	if err == nil {
		err = s.book.SetCosts(s.who(c), perL)
	}
	if err != nil {
		return s.showCosts(c, err, typed)
	}
	return c.Redirect("/bench/costs?done=saved", fiber.StatusSeeOther)
}

// dropPlan takes a kept plan back.
func (s *Server) dropPlan(c *fiber.Ctx) error {
	f := &form{c: c}
	reason := f.text("reason")
	if reason == "" {
		reason = "The plan is not wanted any more."
	}
	request := cellar.Request{When: s.book.Now(), Entry: "void", Void: c.Params("id"), Note: reason}
	var found error
	if err := s.book.See(book.Moment{}, func(v *book.View) error {
		_, found = v.FindPlan(c.Params("id"))
		return found
	}); err != nil {
		return err
	}
	if _, err := s.book.Record(book.Submission{ID: f.text("id"), Who: s.who(c), Request: request}); err != nil {
		return err
	}
	return c.Redirect("/plans?done=dropped", fiber.StatusSeeOther)
}
