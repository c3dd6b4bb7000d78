package server

import (
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// see shows the book at the moment that the address asks for: ?on=DATE&known=DATE.
func (s *Server) see(c *fiber.Ctx, look func(*book.View) error) error {
	var m book.Moment
	for _, field := range []struct {
		name string
		day  *cellar.Day
	}{{"on", &m.On}, {"known", &m.Known}} {
		text := c.Query(field.name)
		if text == "" {
			continue
		}
		day, err := cellar.ParseDay(text)
		if err != nil {
			return &cellar.Problem{Kind: cellar.Invalid, Field: field.name, Value: text, Reason: "not a date that exists: write YYYY-MM-DD"}
		}
		*field.day = day
	}
	return s.book.See(m, look)
}

// vesselOf finds the vessel that an address names, in any spelling.
func vesselOf(c *fiber.Ctx, v *book.View) (*cellar.VesselState, error) {
	written := c.Params("code")
	vessel, ok := v.State.FindVessel(written)
	if !ok {
		return nil, &cellar.Problem{Kind: cellar.NotFound, Field: "vessel", Value: written, Reason: "no such vessel is registered"}
	}
	return vessel, nil
}
