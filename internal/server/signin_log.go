package server

import (
	"log/slog"
	"strings"

	"github.com/gofiber/fiber/v2"
)

// logTry writes down that somebody tried to get in and failed, and logIn that
// somebody got in. What was typed for a name is written only if it is one: it
// may be a password that went into the wrong field.
func (s *Server) logTry(c *fiber.Ctx, what, name string) { s.logSignIn(c, slog.LevelWarn, what, name) }

func (s *Server) logIn(c *fiber.Ctx, what, name string) { s.logSignIn(c, slog.LevelInfo, what, name) }

func (s *Server) logSignIn(c *fiber.Ctx, level slog.Level, what, name string) {
	s.options.Log.Log(c.Context(), level, what,
		slog.String("request", requestID(c)), slog.String("address", c.IP()), slog.String("account", s.accountName(name)))
}

// accountName is the name of an account as it is kept, "" if there is none.
func (s *Server) accountName(typed string) string {
	accounts, err := s.people.Accounts()
	if err != nil {
		return ""
	}
	for _, a := range accounts {
		if strings.EqualFold(a.Name, typed) || typed == "" && len(accounts) == 1 {
			return a.Name
		}
	}
	return ""
}
