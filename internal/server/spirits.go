package server

import (
	"cmp"
	"net/url"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

type spiritsPage struct {
	Page
	Lines []book.BatchLine
	Lots  []*cellar.Lot
}

func (s *Server) spirits(c *fiber.Ctx) error {
	p := spiritsPage{Page: s.page(c, "Spirits", "spirits")}
	err := s.see(c, func(v *book.View) error {
		p.Lines, p.Lots = v.Spirits(), v.Lots()
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "spirits", p)
}

type batchPage struct {
	Page
	Line    book.BatchLine
	History []book.HistoryLine
}

func (s *Server) batch(c *fiber.Ctx) error {
	name := named(c, "name")
	p := batchPage{Page: s.page(c, name, "spirits")}
	err := s.see(c, func(v *book.View) error {
		for _, line := range v.Spirits() {
			if strings.EqualFold(line.Batch.Name, name) {
				p.Line, p.History = line, v.BatchHistory(line.Batch.Name)
				p.Title = line.Batch.Name
				return nil
			}
		}
		return &cellar.Problem{Kind: cellar.NotFound, Field: "batch", Value: name, Reason: "no such batch is registered"}
	})
	if err != nil {
		return err
	}
	return s.render(c, "batch", p)
}

type lotPage struct {
	Page
	Lot    *cellar.Lot
	Parts  []book.PartLine
	Grains []cellar.Share
	Trace  book.Trace
	Held   float64 // litres of pure alcohol in the bottles
}

func (s *Server) lot(c *fiber.Ctx) error {
	name := named(c, "lot")
	p := lotPage{Page: s.page(c, "Lot "+name, "spirits")}
	err := s.see(c, func(v *book.View) error {
		lot, ok := v.FindLot(name)
		if !ok {
			return &cellar.Problem{Kind: cellar.NotFound, Field: "lot", Value: name, Reason: "no such bottling is recorded"}
		}
		account := cellar.LotAccount(lot.Name)
		p.Lot = lot
		p.Parts, p.Grains = v.Parts(account)
		p.Trace = v.Trace(account)
		p.Held = float64(v.State.Balance(account).PureAlcohol())
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "lot", p)
}

type batchFormPage struct {
	Page
	ID      string
	Values  map[string]string
	Sources []string
	Problem string
}

// Value is what was typed into a field.
func (p batchFormPage) Value(field string) string { return p.Values[field] }

func (s *Server) batchForm(c *fiber.Ctx) error { return s.showBatchForm(c, nil, nil) }

func (s *Server) showBatchForm(c *fiber.Ctx, problem error, values map[string]string) error {
	p := batchFormPage{Page: s.page(c, "Register a batch", "spirits"), ID: s.book.NewID(), Values: values}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem, p.ID = said, cmp.Or(values["id"], p.ID)
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		p.Sources = v.BatchesLeft()
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "batch_form", p)
}

func (s *Server) registerBatch(c *fiber.Ctx) error {
	f := &form{c: c}
	b := cellar.Batch{
		Name: f.text("batch"), MadeOn: f.day("made_on"), VolumeL: spirit.Litres(f.amount("volume_l")),
		StrengthPct: spirit.Strength(f.amount("strength_pct")), Grains: f.grains("grains"),
		Yeast: f.text("yeast"), Note: f.text("note"),
	}
	leftovers := f.leftovers()
	err := f.err
	if err == nil {
		err = s.book.RegisterNewBatch(f.text("id"), s.who(c), b, leftovers)
	}
	if err != nil {
		return s.showBatchForm(c, err, f.typed())
	}
	return c.Redirect("/b/"+url.PathEscape(b.Name)+"?done=registered", fiber.StatusSeeOther)
}
