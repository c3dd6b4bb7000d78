package server

import (
	"errors"
	"strconv"
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// form reads a form's fields and keeps the first thing that is wrong.
type form struct {
	c   *fiber.Ctx
	err error
}

func (f *form) text(field string) string { return strings.TrimSpace(f.c.FormValue(field)) }

// number reads an optional number; nil is a blank field.
func (f *form) number(field string) *float64 {
	text := f.text(field)
	if text == "" {
		return nil
	}
	v, err := spirit.ParseNumber(field, text)
	if err != nil && f.err == nil {
		f.err = &cellar.Problem{Kind: cellar.Invalid, Field: field, Value: text, Reason: whyNot(err)}
	}
	return &v
}

// whyNot is the reason alone, where the error also has field and value.
func whyNot(err error) string {
	var p *spirit.ParseError
	if errors.As(err, &p) {
		return p.Why
	}
	return err.Error()
}

// amount reads an optional number that is 0 if blank.
func (f *form) amount(field string) float64 {
	if v := f.number(field); v != nil {
		return *v
	}
	return 0
}

func (f *form) count(field string) int {
	text := f.text(field)
	if text == "" {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil && f.err == nil {
		f.err = &cellar.Problem{Kind: cellar.Invalid, Field: field, Value: text, Reason: "not a whole number"}
	}
	return n
}

func (f *form) ticked(field string) bool { return f.text(field) != "" }

// day reads an optional date.
func (f *form) day(field string) cellar.Day {
	text := f.text(field)
	if text == "" {
		return 0
	}
	d, err := cellar.AskedDay(field, text)
	if err != nil && f.err == nil {
		f.err = err
	}
	return d
}

// momentForms are the ways in which browsers and people write a date and time.
var momentForms = []string{"2006-01-02T15:04", "2006-01-02T15:04:05", "2006-01-02 15:04", time.RFC3339}

// when reads a date, or a date and time on the clock of this machine; blank is now.
func (f *form) when(field string, now time.Time) time.Time {
	text := f.text(field)
	if text == "" {
		return now
	}
	for _, layout := range momentForms {
		if t, err := time.ParseInLocation(layout, text, now.Location()); err == nil {
			return t
		}
	}
	if d, err := cellar.ParseDay(text); err == nil {
		return noonOrNow(d, now)
	}
	if f.err == nil {
		f.err = &cellar.Problem{Kind: cellar.Invalid, Field: field, Value: text, Reason: "not a date and time: write YYYY-MM-DD or YYYY-MM-DD HH:MM"}
	}
	return now
}

// noonOrNow is a time on a day for which none was given.
func noonOrNow(d cellar.Day, now time.Time) time.Time {
	if d == cellar.DayOf(now) {
		return now
	}
	y, m, day := d.Time().Date()
	return time.Date(y, m, day, 12, 0, 0, 0, now.Location())
}
