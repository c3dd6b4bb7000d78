package server

import (
	"errors"
	"net/url"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/identity"
)

type bottlingPage struct {
	Page
	Vessel    cellar.Vessel
	Line      book.StockLine
	Fields    bottlingFields
	Laws      []identity.Jurisdiction
	Found     *book.Bottling
	Cautions  []identity.Caution
	Problem   string
	Form      bottledForm
	Questions []cellar.Question
}

// bottlingFields is the wish as written in the address.
type bottlingFields struct {
	Sizes                                        []sizeFields
	RoomC, SDMl, LinesL, GaugedL, GaugedPct, Pct string
	Law, MadeIn                                  string
	OnlyWater                                    bool
}

type sizeFields struct{ Ml, Most string }

// bottledForm is the bottling as it was done.
type bottledForm struct {
	ID, Lot, LabelPct, StrengthPct, Note, When string
	Counts                                     []countFields
	Emptied                                    bool
}

type countFields struct{ Ml, Count string }

const usualRoomC = "18"

func readBottlingFields(v url.Values) bottlingFields {
	f := bottlingFields{
		RoomC: v.Get("room_c"), SDMl: v.Get("sd_ml"), LinesL: v.Get("lines_l"), GaugedL: v.Get("gauged_l"), GaugedPct: v.Get("gauged_pct"),
		Pct: v.Get("label"), Law: v.Get("law"), MadeIn: v.Get("made_in"), OnlyWater: v.Get("only_water") != "",
	}
	for i := range mostSizes {
		if size := (sizeFields{v.Get(row("size_ml", i)), v.Get(row("most", i))}); size.Ml != "" {
			f.Sizes = append(f.Sizes, size)
		}
	}
	if f.Sizes == nil {
		f.Sizes = []sizeFields{{Ml: "700"}}
	}
	if f.RoomC == "" {
		f.RoomC = usualRoomC
	}
	return f
}

// SizeRows is the sizes written, and empty rows up to the most there are.
func (f bottlingFields) SizeRows() []sizeFields {
	return append(append([]sizeFields{}, f.Sizes...), make([]sizeFields, mostSizes-len(f.Sizes))...)
}

func (f bottlingFields) wish() (book.BottlingWish, error) {
	r := &planReader{}
	w := book.BottlingWish{
		RoomC: r.number("room_c", f.RoomC), SDMl: r.number("sd_ml", f.SDMl), LinesL: r.number("lines_l", f.LinesL),
		VolumeL: r.scaled("gauged_l", f.GaugedL, 1), StrengthPct: r.scaled("gauged_pct", f.GaugedPct, 1), LabelPct: r.scaled("label_pct", f.Pct, 1),
		Jurisdiction: f.Law, OnlyWater: f.OnlyWater, MadeIn: f.MadeIn,
	}
	for _, size := range f.Sizes {
		w.Sizes = append(w.Sizes, blend.Size{NominalMl: r.number("size_ml", size.Ml), Most: r.count("most", size.Most)})
	}
	return w, r.err
}

// bottling works a bottling out and offers to record it.
func (s *Server) bottling(c *fiber.Ctx) error {
	return s.showBottling(c, readBottlingFields(sent(c)), nil, nil)
}

func (s *Server) showBottling(c *fiber.Ctx, fields bottlingFields, typed *bottledForm, problem error) error {
	if problem != nil && statusOf(problem) == fiber.StatusInternalServerError {
		return problem
	}
	p := bottlingPage{Page: s.page(c, "Bottling", "bench"), Fields: fields, Laws: identity.Jurisdictions()}
	if err := s.book.See(book.Moment{}, func(v *book.View) error { return p.fill(c, v) }); err != nil {
		return err
	}
	p.Title = "Bottling " + p.Vessel.Code
	p.Form.ID = s.book.NewID()
	if typed != nil {
		p.Form = *typed
	}
	var doubts *book.Doubts
	switch {
	case errors.As(problem, &doubts):
		p.Questions = doubts.Questions
	case problem != nil:
		p.Problem = spoken(problem)
	case p.Problem != "":
		problem = &cellar.Problem{Kind: cellar.Invalid}
	}
	if problem != nil {
		c.Status(statusOf(problem))
	}
	return s.render(c, "bottling", p)
}

// fill works the wish out; what is wrong with it is said on the page.
func (p *bottlingPage) fill(c *fiber.Ctx, v *book.View) error {
	vessel, err := vesselOf(c, v)
	if err != nil {
		return err
	}
	p.Vessel, p.Line = vessel.Vessel, v.StockLine(vessel.Code)
	wish, err := p.Fields.wish()
	var found book.Bottling
	if err == nil {
		found, err = v.Bottling(vessel.Code, wish)
	}
	if err != nil {
		if bad := statusOf(err); bad == fiber.StatusInternalServerError {
			return err
		}
		p.Problem = spoken(err)
		return nil
	}
	p.Found = &found
	p.Cautions = cautionsOf(found.Lot.StrengthPct)
	p.Form.prefill(found)
	return nil
}

// prefill offers what was worked out, to be put right by what was counted.
func (f *bottledForm) prefill(found book.Bottling) {
	f.Lot, f.LabelPct = found.Code, writtenExactly(found.Label.LabelPct)
	for _, run := range found.Runs {
		f.Counts = append(f.Counts, countFields{writtenExactly(run.NominalMl), itoa(run.Count)})
	}
}

// recordBottling records what was filled.
func (s *Server) recordBottling(c *fiber.Ctx) error {
	f := &form{c: c}
	typed := bottledForm{
		ID: f.text("id"), Lot: f.text("lot"), LabelPct: f.text("label_pct"), StrengthPct: f.text("strength_pct"),
		Note: f.text("note"), When: f.text("when"), Emptied: f.ticked("all"),
	}
	filled := book.Filled{
		ID: typed.ID, Who: s.who(c), Vessel: named(c, "code"), Lot: typed.Lot, Note: typed.Note, When: f.when("when", s.book.Now()),
		LabelPct: f.number("label_pct"), StrengthPct: f.number("strength_pct"), Emptied: typed.Emptied, Sure: f.ticked("sure"),
	}
	for i := range mostSizes {
		size := countFields{f.text(row("size_ml", i)), f.text(row("count", i))}
		if size.Ml == "" {
			break
		}
		typed.Counts = append(typed.Counts, size)
		filled.Bottles = append(filled.Bottles, book.BottleCount{SizeMl: f.amount(row("size_ml", i)), Count: f.count(row("count", i))})
	}
	err := f.err
	if err == nil {
		_, err = s.book.Bottle(filled)
	}
	if err != nil {
		return s.showBottling(c, readBottlingFields(url.Values{}), &typed, err)
	}
	return c.Redirect("/l/"+url.PathEscape(filled.Lot)+"?done=bottled", fiber.StatusSeeOther)
}

// BottleCount is how many bottles of all sizes the lot has.
func (p lotPage) BottleCount() int {
	count := 0
	for _, b := range p.Lot.Bottles {
		count += b.Count
	}
	return count
}
