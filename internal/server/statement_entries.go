package server

import (
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// closePeriod closes the period that the form shows, once it is confirmed.
func (s *Server) closePeriod(c *fiber.Ctx) error {
	f, ask := &form{c: c}, askOf(c)
	if !f.ticked("sure") {
		return s.showStatement(c, &cellar.Problem{Kind: cellar.Invalid, Field: "sure", Reason: "tick that the figures were looked at, then close the period"})
	}
	p, err := ask.period()
	var codes []string
	if err == nil {
		err = s.book.See(book.Moment{}, func(v *book.View) (err error) {
			codes, err = ask.vessels(v)
			return err
		})
	}
	if err == nil {
		_, err = s.book.ClosePeriod(f.text("id"), s.who(c), p, codes, f.text("note"))
	}
	if err != nil {
		return s.showStatement(c, err)
	}
	return c.Redirect("/book/statement?"+ask.Query()+"&done=closed", fiber.StatusSeeOther)
}

// explainLoss keeps words for a loss that the statement lists.
func (s *Server) explainLoss(c *fiber.Ctx) error {
	f, ask := &form{c: c}, askOf(c)
	p, err := ask.period()
	if err == nil {
		err = s.book.ExplainLoss(f.text("id"), s.who(c), cellar.Explain{Vessel: f.text("vessel"), From: p.From, To: p.To, Words: f.text("words")})
	}
	if err != nil {
		return s.showStatement(c, err)
	}
	return c.Redirect("/book/statement?"+ask.Query()+"&done=saved#losses", fiber.StatusSeeOther)
}

type limitsPage struct {
	Page
	Limits  []cellar.Limit
	IDs     []string
	Problem string
}

func (s *Server) limits(c *fiber.Ctx) error { return s.showLimits(c, nil) }

func (s *Server) showLimits(c *fiber.Ctx, problem error) error {
	p := limitsPage{Page: s.page(c, "Loss limits", "book")}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem = said
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		p.Limits = v.Limits()
		return nil
	})
	if err != nil {
		return err
	}
	for range p.Limits {
		p.IDs = append(p.IDs, s.book.NewID())
	}
	return s.render(c, "limits", p)
}

func (s *Server) setLimit(c *fiber.Ctx) error {
	f := &form{c: c}
	limit := cellar.Limit{Of: cellar.VesselKind(f.text("kind")), PctPerYear: f.amount("pct_per_year")}
	err := f.err
	if err == nil {
		err = s.book.SetLimit(f.text("id"), s.who(c), limit)
	}
	if err != nil {
		return s.showLimits(c, err)
	}
	return c.Redirect("/book/limits?done=saved", fiber.StatusSeeOther)
}
