package server

import (
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/keep"
)

type backupsPage struct {
	Page
	Kept    bool // backups are made at all
	Status  keep.Status
	Problem string
}

func (s *Server) backups(c *fiber.Ctx) error { return s.showBackups(c, nil) }

func (s *Server) showBackups(c *fiber.Ctx, problem error) error {
	p := backupsPage{Page: s.page(c, "Backups", "book"), Kept: s.options.Backups != nil}
	if problem != nil {
		p.Problem = problem.Error()
		c.Status(fiber.StatusInternalServerError)
	}
	if p.Kept {
		var err error
		if p.Status, err = s.options.Backups.Status(); err != nil {
			return err
		}
	}
	return s.render(c, "backups", p)
}

// backUp makes a backup now. What went wrong is said here: whoever asks for a
// backup has to know that there is none.
func (s *Server) backUp(c *fiber.Ctx) error {
	if s.options.Backups == nil {
		return fiber.ErrNotFound
	}
	if _, err := s.options.Backups.BackUp(); err != nil {
		return s.showBackups(c, err)
	}
	return c.Redirect("/book/backups?done=backed-up", fiber.StatusSeeOther)
}

// backupTask is what is to be done about the backups, nil for nothing.
func (s *Server) backupTask() (*book.Task, error) {
	if s.options.Backups == nil {
		return nil, nil
	}
	task, wanted, err := s.options.Backups.Task()
	if err != nil || !wanted {
		return nil, err
	}
	return &task, nil
}
