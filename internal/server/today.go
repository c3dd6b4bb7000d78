package server

import (
	"html/template"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/loss"
)

type todayPage struct {
	Page
	Backup *book.Task // of the book itself, not of a vessel
	Tasks  []book.Task
	More   int // tasks that did not fit on a screen
	Filled int
	Empty  int
	Total  loss.State
	Map    template.HTML
	Newest []book.JournalLine
	Start  []firstStep // until the first vessel is filled and sampled
}

// screenful is how many tasks Today shows at once.
const screenful = 10

// newestShown is how many of the latest entries Today lists.
const newestShown = 6

func (s *Server) today(c *fiber.Ctx) error {
	p := todayPage{Page: s.page(c, "Today", "today")}
	err := s.see(c, func(v *book.View) error {
		p.Tasks = v.Today()
		p.Start = firstSteps(v)
		summary := v.Summary()
		p.Filled, p.Empty, p.Total = summary.Filled, summary.Empty, summary.Total
		if len(v.State.Vessels) <= mostDrifts {
			p.Map = stockMap(v)
		}
		if c.Query("all") == "" && len(p.Tasks) > screenful {
			p.Tasks, p.More = p.Tasks[:screenful], len(p.Tasks)-screenful
		}
		p.Newest = v.Journal("", 0, newestShown).Lines
		return nil
	})
	if err == nil {
		p.Backup, err = s.backupTask()
	}
	if err != nil {
		return err
	}
	return s.render(c, "today", p)
}
