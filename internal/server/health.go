package server

import (
	"log/slog"

	"github.com/gofiber/fiber/v2"
)

// alive answers as long as the program runs at all.
func (s *Server) alive(c *fiber.Ctx) error { return c.SendString("alive\n") }

// readyz answers well when the journal can be read, so that what watches over the
// program sends people here.
func (s *Server) readyz(c *fiber.Ctx) error {
	if _, err := s.book.Journal().Head(); err != nil {
		s.options.Log.Error("not ready", slog.Any("error", err))
		return c.Status(fiber.StatusServiceUnavailable).SendString("the journal cannot be read\n")
	}
	return c.SendString("ready\n")
}
