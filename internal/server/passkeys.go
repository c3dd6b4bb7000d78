package server

import (
	"encoding/json"
	"errors"
	"log/slog"
	"strings"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/people"
)

func (s *Server) passkeyRoutes(app *fiber.App) {
	app.Post("/people/me/passkeys/begin", s.beginPasskey)
	app.Post("/people/me/passkeys", s.addPasskey)
	app.Post("/people/me/passkeys/end", s.endPasskey)
	app.Post("/people/me/passkeys/ask", s.setAskPasskey)
}

// proves says whether whoever sits at the browser knows the password of the
// account that it is signed in to. Wrong tries count as those of signing in.
func (s *Server) proves(c *fiber.Ctx, field, password string) error {
	p := person(c)
	if p.Session == "" {
		return &cellar.Problem{Kind: cellar.Refused, Field: "passkey", Reason: "there is no account here that it could be for"}
	}
	_, err := s.people.Prove(p.Name, password, c.IP())
	if errors.Is(err, people.ErrWrong) || errors.Is(err, people.ErrWait) {
		s.logTry(c, "wrong "+field, p.Name)
		return &cellar.Problem{Kind: cellar.Refused, Field: field, Reason: err.Error()}
	}
	return err
}

// beginPasskey sends a browser what a new passkey is to be made for.
func (s *Server) beginPasskey(c *fiber.Ctx) error {
	var asked struct{ Name, Password string }
	if err := json.Unmarshal(c.Body(), &asked); err != nil {
		return jsonProblem("a passkey", err)
	}
	label := strings.TrimSpace(asked.Name)
	if err := cellar.CheckName("passkey", label); err != nil {
		return err
	}
	if err := s.proves(c, "password", asked.Password); err != nil {
		return err
	}
	p, where := person(c), s.party(c)
	if where.Host == "" {
		return &cellar.Problem{Kind: cellar.Refused, Field: "passkey", Reason: where.Why}
	}
	if _, err := s.people.Handle(p.Name); err != nil {
		return err
	}
	who, _, err := s.holderNamed(p.Name, where.Host)
	if err != nil {
		return err
	}
	rules, err := where.rules()
	if err != nil {
		return err
	}
	options, data, err := rules.BeginRegistration(who, webauthn.WithExclusions(who.descriptors()))
	if err != nil {
		return err
	}
	s.keepAttempt(c, attempt{Account: p.Name, Session: p.Session, Label: label, Data: data, party: where})
	return c.JSON(options.Response)
}

// addPasskey keeps the public half of the passkey that a device made.
func (s *Server) addPasskey(c *fiber.Ctx) error {
	p := person(c)
	one, good := s.takeAttempt(c)
	dropCookie(c, attemptCookie)
	if !good || one.Session == "" || one.Session != p.Session || one.Account != p.Name {
		return &cellar.Problem{Kind: cellar.Refused, Field: "passkey", Reason: "that was asked for too long ago, or was used already: begin again"}
	}
	made, err := s.madeFor(c.Body(), one)
	if err != nil {
		s.options.Log.Warn("passkey refused", slog.String("request", requestID(c)), slog.String("account", p.Name), slog.Any("error", err))
		return &cellar.Problem{Kind: cellar.Refused, Field: "passkey", Reason: "what the device made is not good for this store: begin again"}
	}
	if err := s.people.AddPasskey(made); err != nil {
		return err
	}
	s.logIn(c, "passkey added", p.Name)
	return c.JSON(fiber.Map{"to": "/people/me?done=saved"})
}

// madeFor reads what a device made in answer to an attempt.
func (s *Server) madeFor(body []byte, one attempt) (people.Passkey, error) {
	response, err := protocol.ParseCredentialCreationResponseBytes(body)
	if err != nil {
		return people.Passkey{}, err
	}
	rules, err := one.party.rules()
	if err != nil {
		return people.Passkey{}, err
	}
	who, _, err := s.holderNamed(one.Account, one.party.Host)
	if err != nil {
		return people.Passkey{}, err
	}
	made, err := rules.CreateCredential(who, *one.Data, response)
	if err != nil {
		return people.Passkey{}, err
	}
	return people.Passkey{
		Account: one.Account, Name: one.Label, Host: one.party.Host, Key: made.ID, Public: made.PublicKey,
		Counter: made.Authenticator.SignCount, Synced: made.Flags.BackupEligible,
	}, nil
}

func (s *Server) endPasskey(c *fiber.Ctx) error {
	err := s.proves(c, "password", c.FormValue("password"))
	if err == nil {
		err = s.people.EndPasskey(person(c).Name, c.FormValue("passkey"))
	}
	if err != nil {
		return s.meWith(c, "", err)
	}
	s.logIn(c, "passkey taken away", person(c).Name)
	return c.Redirect("/people/me?done=saved", fiber.StatusSeeOther)
}

// setAskPasskey says whether a passkey is asked for after the password.
func (s *Server) setAskPasskey(c *fiber.Ctx) error {
	ask := c.FormValue("ask") != ""
	err := s.proves(c, "password", c.FormValue("password"))
	if err == nil {
		err = s.people.AskPasskey(person(c).Name, ask)
	}
	if err != nil {
		return s.meWith(c, "", err)
	}
	what := "passkey asked for no more"
	if ask {
		what = "passkey asked for from now on"
	}
	s.logIn(c, what, person(c).Name)
	return c.Redirect("/people/me?done=saved", fiber.StatusSeeOther)
}
