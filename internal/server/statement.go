package server

import (
	"net/url"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

type statementPage struct {
	Page
	Ask       statementAsk
	Kinds     []cellar.VesselKind
	Places    []string
	Statement *book.Statement
	Before    statementAsk // the period before, of the same vessels
	After     statementAsk
	Late      []entryLink // what came after a closing
	Cuts      []entryLink // closings of which it has days
	ClosedBy  entryLink
	Closings  []closingLine
	CanClose  bool
	AnyLimit  bool
	ID        string   // of a closing to come
	LossIDs   []string // of words to come, one for each loss
	Problem   string
}

// entryLink is an entry by its number, to be looked at.
type entryLink struct {
	Seq  uint64
	ID   string
	Text string
}

// closingLine is a closed period, newest first.
type closingLine struct {
	entryLink
	From, To cellar.Day
	Vessels  int // 0: all
	Query    string
}

// statementAsk is which statement an address asks for.
type statementAsk struct {
	From, To string
	Of       string // all, kind:cask, place:loft, or codes
	Codes    string // with blanks or commas between
	Known    string
}

// Query is the ask as part of an address.
func (a statementAsk) Query() string {
	q := url.Values{"from": {a.From}, "to": {a.To}, "of": {a.Of}}
	if a.Codes != "" {
		q.Set("codes", a.Codes)
	}
	if a.Known != "" {
		q.Set("known", a.Known)
	}
	return q.Encode()
}

// askOf reads what is asked for from the address, or from a form that was sent.
func askOf(c *fiber.Ctx) statementAsk {
	read := func(field string) string { return strings.TrimSpace(c.FormValue(field, c.Query(field))) }
	return statementAsk{From: read("from"), To: read("to"), Of: read("of"), Codes: read("codes"), Known: read("known")}
}

// on is the same ask for another period.
func (a statementAsk) on(p book.Period) statementAsk {
	a.From, a.To = p.From.String(), p.To.String()
	return a
}

// orLastYear fills in the last whole year where no period is asked for.
func (a *statementAsk) orLastYear(today cellar.Day) {
	if a.From == "" && a.To == "" {
		year := today.Time().Year() - 1
		a.From, a.To = cellar.Date(year, 1, 1).String(), cellar.Date(year, 12, 31).String()
	}
}

// period reads the two days.
func (a statementAsk) period() (p book.Period, err error) {
	for _, field := range []struct {
		name, text string
		day        *cellar.Day
	}{{"from", a.From, &p.From}, {"to", a.To, &p.To}} {
		if *field.day, err = cellar.AskedDay(field.name, field.text); err != nil {
			return p, err
		}
	}
	return p, nil
}

// vessels lists what is asked for, none for all.
func (a statementAsk) vessels(v *book.View) ([]string, error) {
	if codes := strings.FieldsFunc(a.Codes, func(r rune) bool { return r == ',' || r == ';' || r == ' ' }); len(codes) > 0 {
		return codes, nil
	}
	class, name, _ := strings.Cut(a.Of, ":")
	var codes []string
	switch class {
	case "", "all":
		return nil, nil
	case "kind":
		codes = v.VesselsOf(name, "")
	case "place":
		codes = v.VesselsOf("", name)
	}
	if len(codes) == 0 {
		return nil, &cellar.Problem{Kind: cellar.NotFound, Field: "of", Value: a.Of, Reason: "no vessel is of this kind or stands there"}
	}
	return codes, nil
}

// make works the statement out.
func (a statementAsk) make(v *book.View) (*book.Statement, error) {
	p, err := a.period()
	if err != nil {
		return nil, err
	}
	codes, err := a.vessels(v)
	if err != nil {
		return nil, err
	}
	return v.Statement(p, codes)
}

func (s *Server) statement(c *fiber.Ctx) error { return s.showStatement(c, nil) }

// showStatement shows the form, and the statement where one can be made. A
// problem of the ask is shown beside the form, to be mended there.
func (s *Server) showStatement(c *fiber.Ctx, problem error) error {
	p := statementPage{Page: s.page(c, "Statement", "book"), Ask: askOf(c), Kinds: cellar.VesselKinds, ID: s.book.NewID()}
	err := s.see(c, func(v *book.View) error {
		p.Ask.orLastYear(v.On)
		p.Places = v.PlaceNames()
		p.Closings = closingLines(v)
		statement, err := p.Ask.make(v)
		if err != nil {
			if problem == nil {
				problem = err
			}
			return nil
		}
		p.show(v, statement)
		for range statement.Losses {
			p.LossIDs = append(p.LossIDs, s.book.NewID())
		}
		for _, kind := range v.Limits() {
			p.AnyLimit = p.AnyLimit || kind.PctPerYear > 0
		}
		return nil
	})
	if err != nil {
		return err
	}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem = said
	return s.render(c, "statement", p)
}

func (p *statementPage) show(v *book.View, s *book.Statement) {
	p.Statement = s
	p.Before, p.After = p.Ask.on(s.Before()), p.Ask.on(s.After())
	p.ClosedBy = linkTo(v, s.Closed)
	p.CanClose = s.Closed == 0 && len(s.Cuts) == 0 && s.To < v.On && p.Ask.Known == ""
	for _, seq := range s.Late {
		p.Late = append(p.Late, linkTo(v, seq))
	}
	for _, seq := range s.Cuts {
		p.Cuts = append(p.Cuts, linkTo(v, seq))
	}
}

func linkTo(v *book.View, seq uint64) entryLink {
	e, ok := v.EntryBySeq(seq)
	if !ok {
		return entryLink{}
	}
	return entryLink{seq, e.ID, book.Tell(e.Fact, "")}
}

func closingLines(v *book.View) []closingLine {
	lines := make([]closingLine, 0, len(v.State.Closings))
	for i := len(v.State.Closings) - 1; i >= 0; i-- {
		closing := v.State.Closings[i]
		ask := statementAsk{From: closing.From.String(), To: closing.To.String(), Of: "all", Codes: strings.Join(closing.Vessels, " ")}
		lines = append(lines, closingLine{linkTo(v, closing.Entry.Seq), closing.From, closing.To, len(closing.Vessels), ask.Query()})
	}
	return lines
}
