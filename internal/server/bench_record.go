package server

import (
	"errors"
	"fmt"
	"net/url"
	"time"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// blendForm is a blend as it was made at the vat, in the words of the form.
type blendForm struct {
	ID, WaterKg, Into, Note, When string
	Draws                         []blendFormRow
	Empty                         []string // vessels that a blend can go into
	Questions                     []cellar.Question
}

type blendFormRow struct{ From, VolumeL, StrengthPct string }

// planned fills the form with what a plan says.
func (f *blendForm) planned(result *blend.Result, sources map[string]book.StockLine) {
	if result == nil {
		return
	}
	for _, d := range result.Draws {
		f.Draws = append(f.Draws, blendFormRow{d.ID, fmt.Sprintf("%.2f", d.VolumeL), fmt.Sprintf("%.2f", sources[d.ID].StrengthPct)})
	}
	f.WaterKg = fmt.Sprintf("%.3f", result.WaterKg)
}

type blendFormPage struct {
	Page
	Record  blendForm
	Problem string
}

func (s *Server) recordBlend(c *fiber.Ctx) error {
	f := &form{c: c}
	request := f.blendRequest(s.book.Now())
	err := f.err
	if err == nil {
		_, err = s.book.Record(book.Submission{ID: f.text("id"), Who: s.who(c), Request: request, Sure: f.ticked("sure")})
	}
	if err != nil {
		return s.blendAgain(c, f.typedBlend(), err)
	}
	return c.Redirect("/v/"+url.PathEscape(request.Vessel)+"?done=saved", fiber.StatusSeeOther)
}

// blendAgain shows what was typed with what is wrong or unlikely about it.
func (s *Server) blendAgain(c *fiber.Ctx, typed blendForm, problem error) error {
	if statusOf(problem) == fiber.StatusInternalServerError {
		return problem
	}
	p := blendFormPage{Page: s.page(c, "Record a blend", "bench"), Record: typed}
	var doubts *book.Doubts
	if errors.As(problem, &doubts) {
		p.Record.Questions = doubts.Questions
	} else {
		p.Problem = spoken(problem)
	}
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		for _, code := range v.State.VesselCodes() {
			if v.State.IsEmpty(code) {
				p.Record.Empty = append(p.Record.Empty, code)
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	c.Status(statusOf(problem))
	return s.render(c, "blend_form", p)
}

// blendRequest reads the form that records a blend as it was made at the vat.
func (f *form) blendRequest(now time.Time) cellar.Request {
	r := cellar.Request{
		When: f.when("when", now), Entry: "blend", Vessel: f.text("into"), WaterKg: f.number("water_kg"), Note: f.text("note"),
	}
	if r.WaterKg != nil && *r.WaterKg == 0 {
		r.WaterKg = nil
	}
	for i := range cellar.MostDraws {
		from := f.text(row("from", i))
		if from == "" {
			break
		}
		r.Draws = append(r.Draws, cellar.RequestDraw{From: "vessel:" + from, VolumeL: f.number(row("volume_l", i)), StrengthPct: f.number(row("strength_pct", i))})
	}
	return r
}

func (f *form) typedBlend() blendForm {
	typed := blendForm{ID: f.text("id"), WaterKg: f.text("water_kg"), Into: f.text("into"), Note: f.text("note"), When: f.text("when")}
	for i := range cellar.MostDraws {
		from := f.text(row("from", i))
		if from == "" {
			break
		}
		typed.Draws = append(typed.Draws, blendFormRow{from, f.text(row("volume_l", i)), f.text(row("strength_pct", i))})
	}
	return typed
}
