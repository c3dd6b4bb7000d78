package server

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/url"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

func (s *Server) apiStock(c *fiber.Ctx) error {
	if c.Query("count") != "" {
		return s.apiStockPart(c)
	}
	var lines []book.StockLine
	err := s.see(c, func(v *book.View) error {
		lines = v.Stock()
		return nil
	})
	if err != nil {
		return err
	}
	return c.JSON(lines)
}

func (s *Server) apiForecast(c *fiber.Ctx) error {
	at, err := cellar.AskedDay("at", c.Query("at"))
	if err != nil {
		return err
	}
	var lines []book.ForecastLine
	err = s.book.See(book.Moment{}, func(v *book.View) error {
		lines = v.Forecast(at)
		return nil
	})
	if err != nil {
		return err
	}
	return c.JSON(lines)
}

func (s *Server) apiPlan(c *fiber.Ctx) error {
	plan, err := blend.Parse(c.Body())
	if err != nil {
		return err
	}
	err = s.book.See(book.Moment{}, func(v *book.View) error { return v.FillPlan(&plan) })
	if err != nil {
		return err
	}
	result, err := blend.Solve(plan)
	if err != nil {
		return err
	}
	return c.JSON(result)
}

// apiEntryBody is an entry as programs, and the page's own script, send it.
type apiEntryBody struct {
	ID   string `json:"id"`
	Sure bool   `json:"sure"`
	cellar.Request
}

func readEntry(c *fiber.Ctx) (apiEntryBody, error) {
	var body apiEntryBody
	if !strings.HasPrefix(c.Get("Content-Type"), fiber.MIMEApplicationJSON) {
		return body, fiber.NewError(fiber.StatusUnsupportedMediaType, "send application/json")
	}
	decoder := json.NewDecoder(bytes.NewReader(c.Body()))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&body); err != nil {
		return body, jsonProblem("an entry", err)
	}
	if _, err := decoder.Token(); err != io.EOF {
		return body, &cellar.Problem{Kind: cellar.Invalid, Field: "body", Reason: "not an entry: something stands after its end"}
	}
	return body, nil
}

// apiPreview works an entry out without saving it.
func (s *Server) apiPreview(c *fiber.Ctx) error {
	body, err := readEntry(c)
	if err != nil {
		return err
	}
	if body.When.IsZero() {
		body.When = s.book.Now()
	}
	fact, questions, err := s.book.Preview(body.Request)
	if err != nil {
		return err
	}
	return c.JSON(fiber.Map{"fact": fact, "text": book.Tell(fact, ""), "questions": questions})
}

// madeBy says, of an entry that waited on a device, who was signed in when it was made.
const madeBy = "X-Made-By"

// ofAnother asks about an entry that somebody else wrote down on the same device:
// saved now, it would carry the wrong name.
func ofAnother(c *fiber.Ctx) []cellar.Question {
	by, err := url.PathUnescape(c.Get(madeBy))
	if by = strings.TrimSpace(by); err != nil || by == "" || strings.EqualFold(by, person(c).Name) {
		return nil
	}
	return []cellar.Question{{Field: "who", Code: "another", Text: fmt.Sprintf("%s wrote this down. If %s signs in here and tries again, it carries the right name; sent now, it carries yours", by, by)}}
}

// apiEntry saves an entry. Unlikely ones are answered with the questions, and
// saved when they are sent again with "sure".
func (s *Server) apiEntry(c *fiber.Ctx) error {
	body, err := readEntry(c)
	if err != nil {
		return err
	}
	if err := mayLog(c, body.Request); err != nil {
		return err
	}
	if asked := ofAnother(c); len(asked) > 0 && !body.Sure {
		return c.Status(fiber.StatusUnprocessableEntity).JSON(fiber.Map{"questions": asked})
	}
	if body.When.IsZero() {
		body.When = s.book.Now()
	}
	entry, err := s.book.Record(book.Submission{ID: body.ID, Who: s.who(c), Request: body.Request, Sure: body.Sure})
	var doubts *book.Doubts
	if errors.As(err, &doubts) {
		return c.Status(fiber.StatusUnprocessableEntity).JSON(fiber.Map{"questions": doubts.Questions})
	}
	if err != nil {
		return err
	}
	return c.Status(fiber.StatusCreated).JSON(fiber.Map{"seq": entry.Seq, "id": entry.ID, "text": book.Tell(entry.Fact, "")})
}
