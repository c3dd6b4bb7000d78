package server

import (
	"errors"
	"net/url"
	"strings"
	"unicode"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/people"
)

const sessionCookie = "croze_session"

// personKey is where the person of a request is kept while it is answered.
const personKey = "person"

// nobodyAsked is who makes a request where nobody has an account: whoever sits
// at the machine.
var nobodyAsked = people.Person{Role: people.Owner}

type signInPage struct {
	Page
	Next, Problem, Name string
	AskName             bool
	Party               party // by which a passkey can be used; empty where nobody has one
}

func (s *Server) signInForm(c *fiber.Ctx) error {
	open, err := s.people.SettingUp()
	if err != nil {
		return err
	}
	if open {
		return c.Redirect("/set-up", fiber.StatusSeeOther)
	}
	return s.showSignIn(c, localPath(c.Query("next")), "")
}

func (s *Server) showSignIn(c *fiber.Ctx, next, problem string) error {
	only, err := s.people.Only()
	if err != nil {
		return err
	}
	p := signInPage{Page: s.page(c, "Sign in", ""), Next: next, Problem: problem, Name: strings.TrimSpace(c.FormValue("name")), AskName: only == ""}
	where := s.party(c)
	any, err := s.people.AnyPasskey(where.Host)
	if err != nil {
		return err
	}
	if any {
		p.Party = where
	}
	return s.render(c, "signin", p)
}

func (s *Server) signIn(c *fiber.Ctx) error {
	next, name := localPath(c.FormValue("next")), strings.TrimSpace(c.FormValue("name"))
	secret, err := s.people.SignIn(name, c.FormValue("password"), c.IP(), c.Get("User-Agent"))
	switch {
	case errors.Is(err, people.ErrWait):
		s.logTry(c, "sign-in held back", name)
		c.Status(fiber.StatusTooManyRequests)
		return s.showSignIn(c, next, "Too many wrong tries. Wait a quarter of an hour.")
	case errors.Is(err, people.ErrWrong):
		s.logTry(c, "wrong sign-in", name)
		c.Status(fiber.StatusUnauthorized)
		return s.showSignIn(c, next, wrongWords(c))
	case errors.Is(err, people.ErrPasskeyToo):
		account := s.accountName(name)
		s.logIn(c, "password right, passkey asked for", account)
		s.keepAttempt(c, attempt{Account: account, Proven: true})
		return c.Redirect("/sign-in/passkey?next="+url.QueryEscape(next), fiber.StatusSeeOther)
	case err != nil:
		return err
	}
	s.logIn(c, "signed in", name)
	s.giveSession(c, secret)
	return c.Redirect(next, fiber.StatusSeeOther)
}

// wrongWords do not say whether there is an account of the name.
func wrongWords(c *fiber.Ctx) string {
	if c.FormValue("name") == "" {
		return "That is not the password."
	}
	return "That is not the name and password."
}

func (s *Server) giveSession(c *fiber.Ctx, secret string) {
	giveCookie(c, sessionCookie, secret, s.book.Now().Add(people.SessionLasts+people.SessionGrace))
}

func (s *Server) signOut(c *fiber.Ctx) error {
	p := person(c)
	if p.Session != "" {
		if err := s.people.EndSession(p.Name, p.Session); err != nil {
			return err
		}
	}
	dropCookie(c, sessionCookie)
	c.Set("Clear-Site-Data", `"cache"`) // what waits on a phone to be sent is no cache
	return c.Redirect("/sign-in", fiber.StatusSeeOther)
}

// person is who makes the request, as requireSignIn found out.
func person(c *fiber.Ctx) people.Person {
	p, _ := c.Locals(personKey).(people.Person)
	return p
}

// requireSignIn finds out who makes a request. It lets everybody in while
// nobody has an account: then the program listens on this machine only.
func (s *Server) requireSignIn(c *fiber.Ctx) error {
	p, err := s.whoever(c)
	if cellar.KindOf(err) == cellar.Refused {
		return s.askToSignIn(c)
	}
	if err != nil {
		return err
	}
	c.Locals(personKey, p)
	return c.Next()
}

// whoever is the person of a request: by its token, by its session, or nobody
// in particular where there are no accounts.
func (s *Server) whoever(c *fiber.Ctx) (people.Person, error) {
	if c.Get("Authorization") != "" {
		return s.bearer(c)
	}
	p, known, err := s.people.Who(cookieOf(c, sessionCookie))
	if err != nil || known {
		return p, err
	}
	empty, err := s.people.Empty()
	if err != nil {
		return p, err
	}
	if settingUp, err := s.people.SettingUp(); err != nil || settingUp || !empty {
		return p, errorOr(err, notSignedIn)
	}
	return nobodyAsked, nil
}

var notSignedIn = &cellar.Problem{Kind: cellar.Refused, Field: "sign-in", Reason: "sign in first"}

// bearer is the person in whose name a program asks.
func (s *Server) bearer(c *fiber.Ctx) (people.Person, error) {
	secret, is := strings.CutPrefix(c.Get("Authorization"), "Bearer ")
	if !is {
		return people.Person{}, notSignedIn
	}
	p, known, err := s.people.Bearer(secret)
	if err == nil && !known {
		s.logTry(c, "wrong token", "")
		err = notSignedIn
	}
	return p, err
}

func (s *Server) askToSignIn(c *fiber.Ctx) error {
	if strings.HasPrefix(c.Path(), "/api/") || c.Get("Authorization") != "" {
		c.Set("WWW-Authenticate", "Bearer")
		return fiber.NewError(fiber.StatusUnauthorized, "sign in first")
	}
	next := "/"
	if c.Method() == fiber.MethodGet {
		next = c.OriginalURL()
	}
	return c.Redirect("/sign-in?next="+url.QueryEscape(next), fiber.StatusSeeOther)
}

// localPath keeps a redirect on this site. Browsers drop tabs and line breaks
// from addresses, so that "/<tab>/host" would lead away: no control character
// may be in it.
func localPath(next string) string {
	if !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") || strings.ContainsRune(next, '\\') || strings.ContainsFunc(next, unicode.IsControl) {
		return "/"
	}
	return next
}

func errorOr(err, otherwise error) error {
	if err != nil {
		return err
	}
	return otherwise
}
