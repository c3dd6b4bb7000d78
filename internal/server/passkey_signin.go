package server

import (
	"errors"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/people"
)

type passkeyPage struct {
	Page
	Next  string
	Party party
	None  bool // the account has none that works here
}

// passkeyForm asks for a passkey after the password.
func (s *Server) passkeyForm(c *fiber.Ctx) error {
	one, good := s.attempts.look(cookieOf(c, attemptCookie), s.book.Now(), false)
	next := localPath(c.Query("next"))
	if !good || !one.Proven {
		return c.Redirect("/sign-in", fiber.StatusSeeOther)
	}
	p := passkeyPage{Page: s.page(c, "Your passkey", ""), Next: next, Party: s.party(c)}
	if p.Party.Host != "" {
		mine, err := s.people.Passkeys(one.Account, p.Party.Host)
		if err != nil {
			return err
		}
		p.None = len(mine) == 0
	}
	return s.render(c, "signin_passkey", p)
}

// askForPasskey sends a browser what its device must sign: one of an account's
// where its password was right, anybody's else.
func (s *Server) askForPasskey(c *fiber.Ctx) error {
	if s.people.HeldBack(c.IP()) {
		s.logTry(c, "sign-in held back", "")
		return fiber.NewError(fiber.StatusTooManyRequests, tooManyTries)
	}
	one, good := s.takeAttempt(c)
	if !good || !one.Proven {
		one = attempt{}
	}
	if one.party = s.party(c); one.party.Host == "" {
		return fiber.NewError(fiber.StatusUnprocessableEntity, one.party.Why)
	}
	rules, err := one.party.rules()
	if err != nil {
		return err
	}
	var options *protocol.CredentialAssertion
	if one.Account == "" {
		options, one.Data, err = rules.BeginDiscoverableLogin()
	} else {
		who, known, fault := s.holderNamed(one.Account, one.party.Host)
		if fault != nil {
			return fault
		}
		if !known || len(who.keys) == 0 {
			return fiber.NewError(fiber.StatusUnprocessableEntity, noneHere)
		}
		options, one.Data, err = rules.BeginLogin(who)
	}
	if err != nil {
		return err
	}
	s.keepAttempt(c, one)
	return c.JSON(options.Response)
}

// What is said of passkeys more than once.
const (
	noneHere     = "None of your passkeys is bound to this name of the store: open it where you made them."
	tooManyTries = "Too many wrong tries. Wait a quarter of an hour."
)

// signInByPasskey lets in who shows a good passkey, once for each time that one
// was asked for.
func (s *Server) signInByPasskey(c *fiber.Ctx) error {
	if s.people.HeldBack(c.IP()) {
		s.logTry(c, "sign-in held back", "")
		return fiber.NewError(fiber.StatusTooManyRequests, tooManyTries)
	}
	one, good := s.takeAttempt(c)
	dropCookie(c, attemptCookie)
	if !good || one.Data == nil || one.Session != "" {
		s.people.WrongPasskey("", c.IP())
		s.logTry(c, "passkey too late", "")
		return fiber.NewError(fiber.StatusUnauthorized, "That was asked for too long ago, or was used already. Sign in anew.")
	}
	name, key, counter, err := s.shown(c, one)
	if err != nil {
		s.people.WrongPasskey(name, c.IP())
		s.logTry(c, "wrong passkey", name)
		return fiber.NewError(fiber.StatusUnauthorized, "This passkey does not open the store here. Sign in with the password.")
	}
	name, secret, err := s.people.SignInByPasskey(key, counter, c.IP(), c.Get("User-Agent"))
	switch {
	case errors.Is(err, people.ErrCopied):
		s.logTry(c, "copied passkey", name)
		return fiber.NewError(fiber.StatusUnauthorized, "This passkey counts fewer signatures than before, as a copy of it would. It opens nothing any more: sign in with the password and take it away.")
	case err != nil:
		return err
	}
	s.logIn(c, "signed in by passkey", name)
	s.giveSession(c, secret)
	return c.JSON(fiber.Map{"to": localPath(c.Query("next"))})
}
