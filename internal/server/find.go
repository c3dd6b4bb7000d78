package server

import (
	"net/url"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/label"
)

// findCode leads to what a code means: a vessel, a batch or a bottling. The
// address on an old label counts for its code alone.
func (s *Server) findCode(c *fiber.Ctx, written string) error {
	if code, ok := label.CodeFromScan(written); ok {
		written = code
	}
	target := "/vessels?find=" + url.QueryEscape(written)
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		if vessel, ok := v.State.FindVessel(written); ok {
			target = "/v/" + url.PathEscape(vessel.Code)
		} else if _, ok := v.State.Batches[written]; ok {
			target = "/b/" + url.PathEscape(written)
		} else if _, ok := v.State.Lots[written]; ok {
			target = "/l/" + url.PathEscape(written)
		}
		return nil
	})
	if err != nil {
		return err
	}
	return c.Redirect(target, fiber.StatusSeeOther)
}
