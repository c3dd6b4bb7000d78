package server

import (
	"bytes"
	"encoding/json"
	"fmt"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/exchange"
)

// statementFile sends a statement as a file: csv, xlsx, pdf, or json for programs.
func (s *Server) statementFile(c *fiber.Ctx) error {
	ask := askOf(c)
	var statement *book.Statement
	var madeOn cellar.Day
	err := s.see(c, func(v *book.View) (err error) {
		ask.orLastYear(v.On)
		madeOn = v.On
		statement, err = ask.make(v)
		return err
	})
	if err != nil {
		return err
	}
	var out bytes.Buffer
	kind := ""
	switch as := c.Query("as"); as {
	case "csv", "xlsx":
		kind, err = writeSheet(&out, as, exchange.Statement(statement))
	case "pdf":
		kind, err = "application/pdf", exchange.StatementPDF(&out, statement, madeOn)
	case "json":
		kind, err = "application/json", json.NewEncoder(&out).Encode(statement)
	default:
		return &cellar.Problem{Kind: cellar.Invalid, Field: "as", Value: as, Reason: "use csv, xlsx, pdf or json"}
	}
	if err != nil {
		return err
	}
	c.Set("Content-Type", kind)
	c.Set("Content-Disposition", fmt.Sprintf(`attachment; filename="statement-%s-%s.%s"`, statement.From, statement.To, c.Query("as")))
	return c.Send(out.Bytes())
}
