package server

import (
	"errors"
	"log/slog"
	"net/http"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// statusOf chooses the HTTP status for an error of the rooms below.
func statusOf(err error) int {
	var web *fiber.Error
	if errors.As(err, &web) {
		return web.Code
	}
	var doubts *book.Doubts
	var plan *blend.InvalidPlan
	if errors.As(err, &doubts) || errors.As(err, &plan) {
		return fiber.StatusUnprocessableEntity
	}
	if journal.IsInvalid(err) {
		return fiber.StatusUnprocessableEntity
	}
	if errors.Is(err, journal.ErrConflict) || errors.Is(err, journal.ErrDuplicate) {
		return fiber.StatusConflict
	}
	switch cellar.KindOf(err) {
	case cellar.NotFound:
		return fiber.StatusNotFound
	case cellar.Conflict:
		return fiber.StatusConflict
	case cellar.Invalid, cellar.Refused:
		return fiber.StatusUnprocessableEntity
	}
	return fiber.StatusInternalServerError
}

// kindOf is the word for programs: the cellar's own, or for what other rooms
// refuse the one that fits the status. An inner fault has none.
func kindOf(err error, status int) cellar.ProblemKind {
	if kind := cellar.KindOf(err); kind != "" {
		return kind
	}
	switch {
	case status == fiber.StatusNotFound:
		return cellar.NotFound
	case status == fiber.StatusConflict:
		return cellar.Conflict
	case status == fiber.StatusUnauthorized, status == fiber.StatusForbidden, status == fiber.StatusTooManyRequests:
		return cellar.Refused
	case status < fiber.StatusInternalServerError:
		return cellar.Invalid
	}
	return ""
}

// sayable is what a person is told; the details of an inner fault are only logged.
func sayable(err error, status int) string {
	if status == fiber.StatusInternalServerError {
		return "Something went wrong inside. Nothing was saved by this request. The log of the program says more."
	}
	var web *fiber.Error
	if errors.As(err, &web) {
		return ofWeb(web)
	}
	return spoken(err)
}

// ofWeb puts into plain words what the router says of an address that nobody
// serves; its other errors carry words of this program.
func ofWeb(err *fiber.Error) string {
	routers := strings.HasPrefix(err.Message, "Cannot ") || err.Message == http.StatusText(err.Code)
	switch {
	case err.Code == fiber.StatusNotFound && routers:
		return "There is no page of this address. Look it over, or go on from one of these:"
	case err.Code == fiber.StatusMethodNotAllowed && routers:
		return "This address takes nothing of the kind. Go on from one of these:"
	case err.Code == fiber.StatusRequestEntityTooLarge && routers:
		return "This is more than is taken at once. Nothing was saved."
	}
	return err.Message
}

// spoken is the sentence of an error that a person can do something about.
func spoken(err error) string {
	var invalid *journal.InvalidError
	if errors.As(err, &invalid) {
		return invalid.Field + ": " + invalid.Reason
	}
	return err.Error()
}

// told is what a form that comes back says about what was wrong with it; the
// answer takes the status. A fault inside is handed back, for showError.
func told(c *fiber.Ctx, problem error) (said string, fault error) {
	if problem == nil {
		return "", nil
	}
	status := statusOf(problem)
	if status == fiber.StatusInternalServerError {
		return "", problem
	}
	c.Status(status)
	return spoken(problem), nil
}

type errorPage struct {
	Page
	Status  int
	Message string
}

// showError is the last stop of every error: a page for people, JSON for programs
// and scripts.
func (s *Server) showError(c *fiber.Ctx, err error) error {
	status := statusOf(err)
	if status == fiber.StatusInternalServerError {
		s.options.Log.Error("request failed", slog.String("request", requestID(c)), slog.String("method", c.Method()), slog.String("path", loggedPath(c)), slog.Any("error", err))
	}
	c.Status(status)
	if strings.HasPrefix(c.Path(), "/api/") || strings.HasPrefix(c.Get("Content-Type"), fiber.MIMEApplicationJSON) {
		answer := fiber.Map{"error": sayable(err, status), "kind": string(kindOf(err, status))}
		if said := sayProblem(sayable(err, status)); said != answer["error"] {
			answer["said"] = said // for the pages' own scripts: the boxes go by other names than the fields
		}
		return c.JSON(answer)
	}
	return s.render(c, "error", errorPage{s.page(c, "Not done", ""), status, sayable(err, status)})
}
