package server

import (
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/exchange"
)

func (s *Server) logClimate(c *fiber.Ctx) error {
	f := &form{c: c}
	readings, err := exchange.ParseClimate(f.text("readings"))
	if err != nil {
		err = &cellar.Problem{Kind: cellar.Invalid, Field: "readings", Reason: err.Error()}
	} else {
		err = s.book.LogClimate(f.text("id"), s.who(c), cellar.ClimateFact{Place: f.text("climate_place"), Readings: readings})
	}
	if err != nil {
		return s.showPlaces(c, err, f.typed())
	}
	return c.Redirect("/places?done=saved", fiber.StatusSeeOther)
}
