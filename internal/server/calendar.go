package server

import (
	"bytes"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/exchange"
)

// calendarKey is where the secret part of the feed's address is kept, beside
// the journal: it is a key of this machine and no fact of the store.
const calendarKey = "calendar"

const (
	feedDays    = 800 // how far ahead the feed looks
	diaryDays   = 120 // and the page
	secretBytes = 24
)

type calendarPage struct {
	Page
	Address string // "": there is none
	Due     []book.Engagement
}

func (s *Server) calendar(c *fiber.Ctx) error {
	p := calendarPage{Page: s.page(c, "Calendar", "rounds")}
	secret, err := s.book.Journal().Get(calendarKey)
	if err != nil {
		return err
	}
	if len(secret) > 0 {
		p.Address = s.publicURL(c) + "/calendar/" + string(secret) + ".ics"
	}
	err = s.book.See(book.Moment{}, func(v *book.View) error {
		p.Due = v.Diary(diaryDays)
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "calendar", p)
}

// renewCalendar gives the feed a new address; the old one shows nothing more.
func (s *Server) renewCalendar(c *fiber.Ctx) error {
	secret := make([]byte, secretBytes)
	if _, err := rand.Read(secret); err != nil {
		return err
	}
	text := base64.RawURLEncoding.EncodeToString(secret)
	if err := s.book.Journal().Put(calendarKey, []byte(text)); err != nil {
		return err
	}
	return c.Redirect("/calendar?done=renewed", fiber.StatusSeeOther)
}

func (s *Server) withdrawCalendar(c *fiber.Ctx) error {
	if err := s.book.Journal().Put(calendarKey, nil); err != nil {
		return err
	}
	return c.Redirect("/calendar?done=withdrawn", fiber.StatusSeeOther)
}

// calendarFeed is what is due, for whoever knows the address.
func (s *Server) calendarFeed(c *fiber.Ctx) error {
	secret, err := s.book.Journal().Get(calendarKey)
	if err != nil {
		return err
	}
	if len(secret) == 0 || subtle.ConstantTimeCompare(secret, []byte(c.Params("secret"))) != 1 {
		return fiber.ErrNotFound
	}
	var out bytes.Buffer
	err = s.book.See(book.Moment{}, func(v *book.View) error {
		return exchange.WriteCalendar(&out, v.At, s.publicURL(c), v.Diary(feedDays))
	})
	if err != nil {
		return err
	}
	c.Set("Content-Type", "text/calendar; charset=utf-8")
	return c.Send(out.Bytes())
}
