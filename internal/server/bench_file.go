package server

import (
	"io"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// planFileDownload gives the wish as a file that `croze plan` takes: as it was
// asked, for a store to fill in, or with the stock it is worked out from today.
func (s *Server) planFileDownload(c *fiber.Ctx) error {
	fields := readPlanFields(sent(c))
	var wish blend.Plan
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		var p benchPage
		err := p.offer(v)
		if err == nil {
			wish, err = fields.plan(p.codes())
		}
		if err == nil && c.Query("stock") != "" {
			err = v.FillPlan(&wish)
		}
		return err
	})
	if err != nil {
		return err
	}
	file, err := book.PlanFile(wish)
	if err != nil {
		return err
	}
	c.Set(fiber.HeaderContentDisposition, `attachment; filename="plan.json"`)
	c.Set(fiber.HeaderContentType, fiber.MIMEApplicationJSONCharsetUTF8)
	return c.Send(append(file, '\n'))
}

// planFileUpload takes a plan file. What the form can say goes into the form;
// what it cannot is answered from the file itself.
func (s *Server) planFileUpload(c *fiber.Ctx) error {
	text, err := fileOrText(c)
	var wish blend.Plan
	if err == nil {
		wish, err = blend.Parse([]byte(text))
	}
	if err == nil {
		if fields := fieldsOf(wish, true); fields.says(wish) {
			return c.Redirect(fields.Address()+"#plan", fiber.StatusSeeOther)
		}
	}
	return s.answerFile(c, text, wish, err)
}

// answerFile answers a plan file on the page of the bench, or says what is
// wrong with it or with what was done with its answer.
func (s *Server) answerFile(c *fiber.Ctx, text string, wish blend.Plan, problem error) error {
	p := benchPage{Page: s.page(c, "Bench", "bench"), File: text}
	err := problem
	if seen := s.book.See(book.Moment{}, func(v *book.View) error {
		if err == nil {
			err = v.FillPlan(&wish)
		}
		return p.offer(v)
	}); seen != nil {
		return seen
	}
	if err == nil {
		err = p.work(wish)
	}
	return s.benchWith(c, &p, err)
}

// benchWith shows the bench with what is wrong, if anything is.
func (s *Server) benchWith(c *fiber.Ctx, p *benchPage, problem error) error {
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem = said
	return s.renderBench(c, p)
}

// fileOrText is the file that was chosen, or else what was pasted.
func fileOrText(c *fiber.Ctx) (string, error) {
	header, err := c.FormFile("file")
	if err == nil && header.Size > 0 {
		f, err := header.Open()
		if err != nil {
			return "", err
		}
		defer f.Close()
		data, err := io.ReadAll(f)
		return string(data), err
	}
	text := strings.TrimSpace(c.FormValue("plan"))
	if text == "" {
		return "", &cellar.Problem{Kind: cellar.Invalid, Field: "plan", Reason: "choose a plan file or paste one"}
	}
	return text, nil
}
