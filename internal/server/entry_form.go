package server

import (
	"cmp"
	"errors"
	"net/url"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

type entryFormPage struct {
	Page
	Kind      string
	Vessel    cellar.Vessel
	InWood    spirit.Amount // what soaked into its wood, by the books
	Line      book.StockLine
	Last      []book.HistoryLine
	Batches   []string
	Others    []string // vessels that hold something
	Places    []string
	PlacedAt  string                             // where it stands
	Spot      cellar.Spot                        // and where there
	Words     []string                           // scored so far in this store
	Tools     map[cellar.InstrumentKind][]string // registered instruments by kind
	ID        string
	Values    map[string]string // as typed, to show again
	Problem   string
	Questions []cellar.Question
	Sample    samplePart
}

// Value is what was typed into a field.
func (p entryFormPage) Value(field string) string { return p.Values[field] }

// From is where the liquid comes from, as typed, or the one batch there is to fill from.
func (p entryFormPage) From() string {
	if typed, said := p.Values["from"]; said || p.Kind != "fill" || len(p.Batches) != 1 {
		return typed
	}
	return p.Batches[0]
}

// PlaceNow is the place that the form of a move begins with.
func (p entryFormPage) PlaceNow() string { return cmp.Or(p.Values["place"], p.PlacedAt) }

// ToolsOf lists the registered instruments of a kind.
func (p entryFormPage) ToolsOf(kind string) []string { return p.Tools[cellar.InstrumentKind(kind)] }

// Shows says whether a field belongs to this kind of entry.
func (p entryFormPage) Shows(group string) bool { return fieldGroups[p.Kind][group] }

// fieldGroups says which fields each kind of entry asks for.
var fieldGroups = map[string]map[string]bool{
	"sample":   {}, // has a form of its own
	"fill":     {"from": true, "strength": true, "volume": true, "weight": true},
	"top_up":   {"from": true, "strength": true, "volume": true},
	"transfer": {"from": true, "strength": true, "volume": true, "all": true},
	"draw":     {"strength": true, "volume": true},
	"spill":    {"strength": true, "volume": true},
	"reduce":   {"water": true},
	"bottle":   {"strength": true, "bottles": true, "all": true},
	"empty":    {"strength": true, "volume": true, "weight": true},
	"move":     {"place": true},
	"note":     {},
	"rinse":    {"strength": true, "volume": true, "into": true},
	"aim":      {"aim": true},
	"relabel":  {},
}

// waits are the kinds of entry whose form keeps them on the device while there
// is no signal. A sample has a form of its own, which does so too.
var waits = map[string]bool{"draw": true, "spill": true, "top_up": true, "note": true}

// Waits says whether this entry waits on the device for a signal.
func (p entryFormPage) Waits() bool { return waits[p.Kind] }

const lastShown = 3 // earlier samples in view while logging one

func (s *Server) entryForm(c *fiber.Ctx) error {
	return s.showEntryForm(c, nil, nil)
}

// showEntryForm shows the form, with what was typed if it comes back.
func (s *Server) showEntryForm(c *fiber.Ctx, problem error, values map[string]string) error {
	kind := c.Params("kind")
	if _, known := fieldGroups[kind]; !known {
		return fiber.ErrNotFound
	}
	p := entryFormPage{Page: s.page(c, sayKind(kind), "vessels"), Kind: kind, Values: values, ID: values["id"]}
	if p.ID == "" {
		p.ID = s.book.NewID()
	}
	var doubts *book.Doubts
	if errors.As(problem, &doubts) {
		p.Questions = doubts.Questions
	} else if problem != nil {
		if statusOf(problem) == fiber.StatusInternalServerError {
			return problem
		}
		p.Problem = spoken(problem)
	}
	err := s.book.See(book.Moment{}, func(v *book.View) error { return p.fill(c, v) })
	if err != nil {
		return err
	}
	if problem != nil {
		c.Status(statusOf(problem))
	}
	if kind == "sample" {
		return s.render(c, "sample_form", p)
	}
	return s.render(c, "entry_form", p)
}

func (p *entryFormPage) fill(c *fiber.Ctx, v *book.View) error {
	vessel, err := vesselOf(c, v)
	if err != nil {
		return err
	}
	p.Vessel, p.Line = vessel.Vessel, v.StockLine(vessel.Code)
	p.Title += ": " + vessel.Code
	p.PlacedAt, p.Spot = vessel.PlacedAt, vessel.PlacedIn
	p.InWood = v.State.Balance(cellar.IndrinkAccount(vessel.Code))
	for _, line := range v.History(vessel.Code) {
		if len(p.Last) < lastShown && (line.Strength != nil || line.Content != nil) {
			p.Last = append(p.Last, line)
		}
	}
	p.Places, p.Batches, p.Words = v.PlaceNames(), v.BatchesLeft(), v.ScoreWords()
	p.Tools = toolNames(v)
	if p.Kind == "sample" {
		p.fillSample(c, v)
	}
	for _, code := range v.State.VesselCodes() {
		if code != vessel.Code && !v.State.IsEmpty(code) {
			p.Others = append(p.Others, code)
		}
	}
	return nil
}

func (s *Server) logEntry(c *fiber.Ctx) error {
	f := &form{c: c}
	request := f.request(s.book.Now(), c.Params("kind"), named(c, "code"))
	f.addPhoto(s.options.Photos, &request)
	err := f.err
	var saved cellar.Entry
	if err == nil {
		saved, err = s.book.Record(book.Submission{ID: f.text("id"), Who: s.who(c), Request: request, Sure: f.ticked("sure")})
	}
	if err != nil {
		return s.showEntryForm(c, err, f.typed())
	}
	query := url.Values{"done": {"saved"}, "undo": {saved.ID}}
	if round := roundIn(c); round != "" {
		query.Set("after", named(c, "code"))
		return c.Redirect("/rounds/"+round+"/next?"+query.Encode(), fiber.StatusSeeOther)
	}
	return c.Redirect("/v/"+url.PathEscape(named(c, "code"))+"?"+query.Encode(), fiber.StatusSeeOther)
}

// typed is every field as it came, to be shown again.
func (f *form) typed() map[string]string {
	values := make(map[string]string)
	f.c.Request().PostArgs().VisitAll(func(key, value []byte) { values[string(key)] = string(value) })
	if parts, err := f.c.MultipartForm(); err == nil {
		for field, texts := range parts.Value {
			values[field] = texts[0]
		}
	}
	return values
}
