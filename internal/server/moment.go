package server

import (
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// see shows the book at the moment that the address asks for: ?on=DATE&known=DATE.
func (s *Server) see(c *fiber.Ctx, look func(*book.View) error) error {
	m, err := momentOf(c)
	if err != nil {
		return err
	}
	return s.book.See(m, look)
}

// glance is see for pages that can do without the estimator.
func (s *Server) glance(c *fiber.Ctx, look func(*book.View) error) error {
	m, err := momentOf(c)
	if err != nil {
		return err
	}
	return s.book.Glance(m, look)
}

// seeSoon is see, and in a very large store glance.
func (s *Server) seeSoon(c *fiber.Ctx, look func(*book.View) error) error {
	m, err := momentOf(c)
	if err != nil {
		return err
	}
	return s.book.SeeSoon(m, look)
}

func momentOf(c *fiber.Ctx) (book.Moment, error) {
	var m book.Moment
	for _, field := range []struct {
		name string
		day  *cellar.Day
	}{{"on", &m.On}, {"known", &m.Known}} {
		text := c.Query(field.name)
		if text == "" {
			continue
		}
		day, err := cellar.AskedDay(field.name, text)
		if err != nil {
			return m, err
		}
		*field.day = day
	}
	return m, nil
}

// vesselOf finds the vessel that an address names, in any spelling.
func vesselOf(c *fiber.Ctx, v *book.View) (*cellar.VesselState, error) {
	written := named(c, "code")
	vessel, ok := v.State.FindVessel(written)
	if !ok {
		return nil, &cellar.Problem{Kind: cellar.NotFound, Field: "vessel", Value: written, Reason: "no such vessel is registered"}
	}
	return vessel, nil
}
