package server

import (
	"bytes"
	"encoding/json"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

const linesPerPage = 100

type journalPage struct {
	Page
	About      string
	Lines      []book.JournalLine
	Total      int
	From       int
	Earlier    int // where the next page starts; 0: there is none
	Accounts   []book.AccountLine
	Cumulative bool
}

func (s *Server) journal(c *fiber.Ctx) error {
	p := journalPage{Page: s.page(c, "Book", "book"), About: c.Query("about"), From: max(0, c.QueryInt("from"))}
	err := s.glance(c, func(v *book.View) error {
		shown := v.Journal(p.About, p.From, linesPerPage)
		p.Lines, p.Total = shown.Lines, shown.Total
		if next := p.From + linesPerPage; next < p.Total {
			p.Earlier = next
		}
		p.Accounts = v.AccountLines()
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "journal", p)
}

type entryPage struct {
	Page
	Entry    cellar.Entry
	Text     string
	Body     string
	About    []cellar.Account
	Moves    []cellar.Movement
	VoidedBy uint64
	ClosedIn uint64 // the entry that closed its period, 0 if that is open
	Rewrites bool   // it changed what was thought of the past
	Changes  []book.AccountChange
	Problem  string
	Reason   string // as typed, to show again
}

func (s *Server) entry(c *fiber.Ctx) error { return s.showEntry(c, nil) }

func (s *Server) showEntry(c *fiber.Ctx, problem error) error {
	p := entryPage{Page: s.page(c, "Entry", "book")}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem, p.Reason = said, c.FormValue("reason")
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		e, ok := v.EntryByID(c.Params("id"))
		if !ok {
			return &cellar.Problem{Kind: cellar.NotFound, Field: "entry", Value: c.Params("id"), Reason: "no such entry"}
		}
		body, err := json.MarshalIndent(e.Fact, "", "  ")
		if err != nil {
			return err
		}
		p.Entry, p.Text, p.Body, p.About = e, book.Tell(e.Fact, ""), string(body), e.Fact.Subjects()
		p.VoidedBy = v.VoidedBy(e.ID)
		p.ClosedIn = v.ClosedIn(e)
		p.Moves = v.MovementsOf(e.Seq)
		if p.Rewrites = v.Rewrites(e); p.Rewrites {
			p.Changes, err = v.WhatItChanged(e)
		}
		return err
	})
	if err != nil {
		return err
	}
	return s.render(c, "entry", p)
}

func (s *Server) voidEntry(c *fiber.Ctx) error {
	f := &form{c: c}
	id := c.Params("id")
	_, err := s.book.Record(book.Submission{Who: s.who(c), Request: cellar.Request{
		When: s.book.Now(), Entry: "void", Void: id, Note: f.text("reason"),
	}})
	if err != nil {
		return s.showEntry(c, err)
	}
	return c.Redirect("/book/"+id+"?done=voided", fiber.StatusSeeOther)
}

type checkPage struct {
	Page
	Findings book.Findings
}

func (s *Server) checkBook(c *fiber.Ctx) error {
	findings, err := book.Verify(s.book.Journal())
	if err != nil {
		return err
	}
	return s.render(c, "check", checkPage{s.page(c, "Check of the book", "book"), findings})
}

// exportBook sends the journal as JSON Lines.
func (s *Server) exportBook(c *fiber.Ctx) error {
	var out bytes.Buffer
	if err := journal.Export(&out, s.book.Journal()); err != nil {
		return err
	}
	c.Set("Content-Type", "application/jsonl")
	c.Set("Content-Disposition", `attachment; filename="croze-journal.jsonl"`)
	return c.Send(out.Bytes())
}
