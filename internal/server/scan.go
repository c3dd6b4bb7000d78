package server

import (
	"net/url"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/label"
)

// pageOf is the page of what a label's code means, "" if nothing has it.
func pageOf(v *book.View, thing label.Thing, code string) string {
	switch thing {
	case label.Vessel:
		if vessel, ok := v.State.FindVessel(code); ok {
			return "/v/" + url.PathEscape(vessel.Code)
		}
	case label.Batch:
		for _, name := range v.State.BatchNames() {
			if strings.EqualFold(name, code) { // labels have capitals only
				return "/b/" + url.PathEscape(name)
			}
		}
	case label.BottleLot:
		if lot, ok := v.FindLot(code); ok {
			return "/l/" + url.PathEscape(lot.Name)
		}
	case label.Sample:
		if e, ok := v.EntryByID(strings.ToUpper(code)); ok {
			return "/book/" + e.ID
		}
	}
	return ""
}

// findCode leads to what a code means: a vessel, a batch or a bottling. The
// address on an old label counts for its code alone, whichever server it names.
func (s *Server) findCode(c *fiber.Ctx, written string) error {
	things := []label.Thing{label.Vessel, label.Batch, label.BottleLot, label.Sample}
	code := written
	if thing, read, ok := label.Scan(written); ok && strings.Contains(written, "://") {
		things, code = []label.Thing{thing}, read
	}
	target := ""
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		for _, thing := range things {
			if target == "" {
				target = pageOf(v, thing, code)
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	if target == "" {
		target = "/vessels?find=" + url.QueryEscape(code)
	}
	return c.Redirect(target, fiber.StatusSeeOther)
}

// sampleLabel leads from the label of a sample bottle to the entry of the sample.
func (s *Server) sampleLabel(c *fiber.Ctx) error {
	target := ""
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		target = pageOf(v, label.Sample, c.Params("id"))
		return nil
	})
	if err != nil {
		return err
	}
	if target == "" {
		return &cellar.Problem{Kind: cellar.NotFound, Field: "sample", Value: c.Params("id"), Reason: "no entry has this ID"}
	}
	return c.Redirect(target, fiber.StatusSeeOther)
}
