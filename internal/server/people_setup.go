package server

import (
	"errors"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/people"
)

type setupPage struct {
	Page
	Name, Problem string
}

// setupForm is all that a store without an owner shows to the world.
func (s *Server) setupForm(c *fiber.Ctx) error {
	open, err := s.people.SettingUp()
	if err != nil {
		return err
	}
	if !open {
		return c.Redirect("/", fiber.StatusSeeOther)
	}
	return s.render(c, "setup", setupPage{Page: s.page(c, "Set up", "")})
}

func (s *Server) setUp(c *fiber.Ctx) error {
	name := c.FormValue("name")
	secret, err := s.people.SetUp(c.FormValue("code"), name, c.FormValue("password"), c.IP(), c.Get("User-Agent"))
	if err != nil {
		s.logTry(c, "set-up refused", "")
		c.Status(statusOf(err))
		words := spoken(err)
		if errors.Is(err, people.ErrWait) {
			c.Status(fiber.StatusTooManyRequests)
		} else if statusOf(err) == fiber.StatusInternalServerError {
			return err
		}
		return s.render(c, "setup", setupPage{s.page(c, "Set up", ""), name, words})
	}
	s.logIn(c, "set up", strings.TrimSpace(name))
	s.giveSession(c, secret)
	return c.Redirect("/", fiber.StatusSeeOther)
}
