package server

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"net/url"
	"strings"
	"sync"
	"time"
	"unicode"

	"github.com/gofiber/fiber/v2"
)

const (
	sessionCookie = "croze_session"
	sessionLasts  = 30 * 24 * time.Hour
	triesAllowed  = 10 // wrong passwords from one address before it has to wait
	triesWindow   = 15 * time.Minute
)

// sessions holds who is signed in, by the hash of their cookie. They end when
// the program does.
type sessions struct {
	now   func() time.Time
	mu    sync.Mutex
	until map[[32]byte]time.Time
	wrong map[string][]time.Time // by address
}

func newSessions(now func() time.Time) *sessions {
	return &sessions{now: now, until: make(map[[32]byte]time.Time), wrong: make(map[string][]time.Time)}
}

func (s *sessions) open() (token string, err error) {
	secret := make([]byte, 32)
	if _, err := rand.Read(secret); err != nil {
		return "", err
	}
	token = base64.RawURLEncoding.EncodeToString(secret)
	s.mu.Lock()
	defer s.mu.Unlock()
	s.until[sha256.Sum256([]byte(token))] = s.now().Add(sessionLasts)
	return token, nil
}

func (s *sessions) valid(token string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return token != "" && s.now().Before(s.until[sha256.Sum256([]byte(token))])
}

func (s *sessions) end(token string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.until, sha256.Sum256([]byte(token)))
}

// mayTry forgets old mistakes and says whether an address may try again.
func (s *sessions) mayTry(address string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	since := s.now().Add(-triesWindow)
	recent := s.wrong[address][:0]
	for _, t := range s.wrong[address] {
		if t.After(since) {
			recent = append(recent, t)
		}
	}
	s.wrong[address] = recent
	return len(recent) < triesAllowed
}

func (s *sessions) mistake(address string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.wrong[address] = append(s.wrong[address], s.now())
}

type signInPage struct {
	Page
	Next, Problem string
}

func (s *Server) signInForm(c *fiber.Ctx) error {
	return s.render(c, "signin", signInPage{s.page(c, "Sign in", ""), localPath(c.Query("next")), ""})
}

func (s *Server) signIn(c *fiber.Ctx) error {
	next := localPath(c.FormValue("next"))
	problem := "That is not the password."
	if !s.sessions.mayTry(c.IP()) {
		c.Status(fiber.StatusTooManyRequests)
		return s.render(c, "signin", signInPage{s.page(c, "Sign in", ""), next, "Too many wrong tries from this address. Wait a quarter of an hour."})
	}
	right, err := rightPassword(s.book.Journal(), c.FormValue("password"))
	if err != nil {
		return err
	}
	if !right {
		s.sessions.mistake(c.IP())
		c.Status(fiber.StatusUnauthorized)
		return s.render(c, "signin", signInPage{s.page(c, "Sign in", ""), next, problem})
	}
	token, err := s.sessions.open()
	if err != nil {
		return err
	}
	c.Cookie(&fiber.Cookie{
		Name: sessionCookie, Value: token, Path: "/", HTTPOnly: true, Secure: c.Protocol() == "https",
		SameSite: fiber.CookieSameSiteLaxMode, Expires: s.book.Now().Add(sessionLasts),
	})
	return c.Redirect(next, fiber.StatusSeeOther)
}

func (s *Server) signOut(c *fiber.Ctx) error {
	s.sessions.end(c.Cookies(sessionCookie))
	c.ClearCookie(sessionCookie)
	return c.Redirect("/sign-in", fiber.StatusSeeOther)
}

// requireSignIn lets everybody in while no password is set: then the program
// listens on this machine only.
func (s *Server) requireSignIn(c *fiber.Ctx) error {
	set, err := HasPassword(s.book.Journal())
	if err != nil {
		return err
	}
	if !set || s.sessions.valid(c.Cookies(sessionCookie)) {
		return c.Next()
	}
	if strings.HasPrefix(c.Path(), "/api/") {
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
