package server

import (
	"crypto/rand"
	"errors"
	"log/slog"
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"
)

// slow is how long an answer may take before the log mentions it.
const slow = 5 * time.Second

// requestIDKey is where a request's number is kept while it is answered.
const requestIDKey = "request"

// watched gives each request a number of its own, measures it, and writes down
// what failed inside or was slow. Neither what was sent nor the part of an
// address behind its question mark is ever written down.
func (s *Server) watched(c *fiber.Ctx) error {
	id, began := rand.Text()[:12], time.Now()
	c.Locals(requestIDKey, id)
	c.Set("X-Request-Id", id)
	err := c.Next()
	took, status := time.Since(began), c.Response().StatusCode()
	if err != nil {
		status = statusOf(err)
	}
	s.measures.add(series{c.Method(), routeOf(c, err), status}, took)
	if took > slow {
		s.options.Log.Warn("slow answer", slog.String("request", id), slog.String("method", c.Method()),
			slog.String("path", loggedPath(c)), slog.Int("status", status), slog.Duration("took", took))
	}
	return err
}

// loggedPath is the path without the one secret that an address may hold.
func loggedPath(c *fiber.Ctx) string {
	const feeds = "/calendar/"
	if path := c.Path(); len(path) <= len(feeds) || !strings.EqualFold(path[:len(feeds)], feeds) {
		return path
	}
	return feeds + "…"
}

// routeOf is the pattern that answered; what no route answered is one series.
func routeOf(c *fiber.Ctx, err error) string {
	var web *fiber.Error
	if errors.As(err, &web) && web.Code == fiber.StatusNotFound {
		return "none"
	}
	return c.Route().Path
}

func requestID(c *fiber.Ctx) string {
	id, _ := c.Locals(requestIDKey).(string)
	return id
}
