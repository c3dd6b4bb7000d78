package server

import (
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/people"
)

func (s *Server) peopleRoutes(app *fiber.App) {
	app.Get("/people", s.showPeople)
	app.Post("/people", s.addPerson)
	app.Post("/people/role", s.setRole)
	app.Post("/people/password", s.resetPassword)
	app.Post("/people/remove", s.removePerson)
	app.Get("/people/me", s.me)
	app.Post("/people/me/password", s.changePassword)
	app.Post("/people/me/sessions", s.endSession)
	app.Post("/people/me/tokens", s.makeToken)
	app.Post("/people/me/tokens/end", s.endToken)
	s.passkeyRoutes(app)
}

type peoplePage struct {
	Page
	Accounts []people.Account
	Roles    []people.Role
	First    bool // nobody has an account yet
	Problem  string
	Name     string
}

func (s *Server) showPeople(c *fiber.Ctx) error { return s.peopleWith(c, nil) }

func (s *Server) peopleWith(c *fiber.Ctx, problem error) error {
	accounts, err := s.people.Accounts()
	if err != nil {
		return err
	}
	p := peoplePage{Page: s.page(c, "People", ""), Accounts: accounts, Roles: people.Roles(), First: len(accounts) == 0}
	if problem != nil {
		status := statusOf(problem)
		c.Status(status)
		p.Problem, p.Name = sayable(problem, status), c.FormValue("name")
	}
	return s.render(c, "people", p)
}

// addPerson makes an account. The first one makes the store ask everybody.
func (s *Server) addPerson(c *fiber.Ctx) error {
	if s.options.Demo {
		return s.peopleWith(c, &cellar.Problem{Kind: cellar.Refused, Field: "demo", Reason: "the invented store is open to everybody: it has no accounts"})
	}
	if err := s.people.Add(c.FormValue("name"), people.Role(c.FormValue("role")), c.FormValue("password")); err != nil {
		return s.peopleWith(c, err)
	}
	return c.Redirect("/people?done=saved", fiber.StatusSeeOther)
}

func (s *Server) setRole(c *fiber.Ctx) error {
	return s.changed(c, s.people.SetRole(c.FormValue("name"), people.Role(c.FormValue("role"))))
}

func (s *Server) resetPassword(c *fiber.Ctx) error {
	return s.changed(c, s.people.SetPassword(c.FormValue("name"), c.FormValue("password")))
}

func (s *Server) removePerson(c *fiber.Ctx) error {
	return s.changed(c, s.people.Remove(c.FormValue("name")))
}

func (s *Server) changed(c *fiber.Ctx, err error) error {
	if err != nil {
		return s.peopleWith(c, err)
	}
	return c.Redirect("/people?done=saved", fiber.StatusSeeOther)
}
