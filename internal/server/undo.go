package server

import (
	"net/url"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// undone is the reason that a void has when it comes from the notice.
const undone = "undone right after saving"

// undoIn is the entry that the notice offers to take back.
func undoIn(c *fiber.Ctx) string {
	if id := c.Query("undo"); looksLikeID(id) {
		return id
	}
	return ""
}

// undoEntry takes back, with one tap, what was just saved, and leads back to
// where it can be written again.
func (s *Server) undoEntry(c *fiber.Ctx) error {
	id := c.Params("id")
	target := "/"
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		e, ok := v.EntryByID(id)
		if !ok {
			return &cellar.Problem{Kind: cellar.NotFound, Field: "entry", Value: id, Reason: "no such entry"}
		}
		target = whereAgain(e, roundIn(c))
		return nil
	})
	if err != nil {
		return err
	}
	_, err = s.book.Record(book.Submission{Who: s.who(c), Request: cellar.Request{
		When: s.book.Now(), Entry: "void", Void: id, Note: undone,
	}})
	if err != nil {
		return s.showEntry(c, err)
	}
	return c.Redirect(target, fiber.StatusSeeOther)
}

// whereAgain is the form for the entry, or the page of what it was about.
func whereAgain(e cellar.Entry, round string) string {
	query := url.Values{"done": {"undone"}}
	for _, about := range e.Fact.Subjects() {
		code, ok := about.Vessel()
		if !ok {
			continue
		}
		page := "/v/" + url.PathEscape(code)
		if e.Fact.Kind() == "sample" || round != "" {
			page += "/log/sample"
		}
		if round != "" {
			query.Set("round", round)
		}
		return page + "?" + query.Encode()
	}
	return "/?" + query.Encode()
}
