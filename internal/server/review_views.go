package server

import (
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
)

// saveView keeps the view of the stock table under a name.
func (s *Server) saveView(c *fiber.Ctx) error {
	f := &form{c: c}
	view := book.SavedView{Name: f.text("name"), Query: f.text("query")}
	if err := s.book.SaveView(view); err != nil {
		return err
	}
	return c.Redirect("/vessels?"+view.Query, fiber.StatusSeeOther)
}

// dropView forgets one.
func (s *Server) dropView(c *fiber.Ctx) error {
	if err := s.book.DropView((&form{c: c}).text("name")); err != nil {
		return err
	}
	return c.Redirect("/vessels", fiber.StatusSeeOther)
}
