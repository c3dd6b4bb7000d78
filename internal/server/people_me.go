package server

import (
	"strconv"
	"time"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/people"
)

type mePage struct {
	Page
	Name     string
	Role     people.Role
	Session  string // ID of this one
	Sessions []people.Session
	Tokens   []people.Token
	Passkeys []people.Passkey
	Asks     bool // for a passkey after the password
	Party    party
	Scopes   []people.Role
	Secret   string // of a token that was made just now
	Problem  string
	Now      time.Time
}

func (s *Server) me(c *fiber.Ctx) error { return s.meWith(c, "", nil) }

// meWith shows a person what is theirs, a new token's secret this once.
func (s *Server) meWith(c *fiber.Ctx, secret string, problem error) error {
	p := person(c)
	sessions, err := s.people.Sessions(p.Name)
	if err != nil {
		return err
	}
	tokens, err := s.people.Tokens(p.Name)
	if err != nil {
		return err
	}
	passkeys, err := s.people.Passkeys(p.Name, "")
	if err != nil {
		return err
	}
	account, _, err := s.people.Account(p.Name)
	if err != nil {
		return err
	}
	page := mePage{Page: s.page(c, "You", ""), Name: p.Name, Role: p.Role, Session: p.Session, Sessions: sessions, Tokens: tokens, Secret: secret, Now: s.book.Now()}
	page.Passkeys, page.Asks, page.Party = passkeys, account.AskPasskey, s.party(c)
	for _, scope := range people.Roles() {
		if scope != people.Owner && p.Role.May(scope) {
			page.Scopes = append(page.Scopes, scope)
		}
	}
	if problem != nil {
		status := statusOf(problem)
		c.Status(status)
		page.Problem = sayable(problem, status)
	}
	return s.render(c, "people_me", page)
}

// changePassword asks for the old one first, and tells it apart from a wrong
// sign-in in nothing: guessing here is counted as guessing there.
func (s *Server) changePassword(c *fiber.Ctx) error {
	p := person(c)
	err := s.proves(c, "old password", c.FormValue("old"))
	if err == nil {
		err = s.people.ChangePassword(p.Name, c.FormValue("password"))
	}
	if err != nil {
		return s.meWith(c, "", err)
	}
	s.logIn(c, "password changed", p.Name)
	return c.Redirect("/sign-in", fiber.StatusSeeOther)
}

func (s *Server) endSession(c *fiber.Ctx) error {
	if err := s.people.EndSession(person(c).Name, c.FormValue("session")); err != nil {
		return s.meWith(c, "", err)
	}
	return c.Redirect("/people/me?done=saved", fiber.StatusSeeOther)
}

func (s *Server) makeToken(c *fiber.Ctx) error {
	days, err := strconv.Atoi(c.FormValue("days"))
	if err != nil || days < 1 || days > 366 {
		return s.meWith(c, "", &cellar.Problem{Kind: cellar.Invalid, Field: "days", Value: c.FormValue("days"), Reason: "must be 1 to 366"})
	}
	secret, err := s.people.MakeToken(person(c).Name, c.FormValue("label"), people.Role(c.FormValue("scope")), time.Duration(days)*24*time.Hour)
	return s.meWith(c, secret, err)
}

func (s *Server) endToken(c *fiber.Ctx) error {
	if err := s.people.EndToken(person(c).Name, c.FormValue("token")); err != nil {
		return s.meWith(c, "", err)
	}
	return c.Redirect("/people/me?done=saved", fiber.StatusSeeOther)
}
