package server

import (
	"cmp"
	"fmt"
	"math"
	"net/url"
	"strconv"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

type readyPage struct {
	Page
	Lines  []book.Readiness
	Valued bool
}

// readiness lists the vessels with an aim by how they stand.
func (s *Server) readiness(c *fiber.Ctx) error {
	p := readyPage{Page: s.page(c, "Ready?", "vessels")}
	err := s.see(c, func(v *book.View) error {
		p.Lines = v.Readiness()
		for _, line := range p.Lines {
			p.Valued = p.Valued || line.Year.Valued
		}
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "ready", p)
}

type vesselReadyPage struct {
	Page
	Code    string
	Line    book.StockLine
	Ready   *book.Readiness // nil: nothing is asked of it
	Year    book.YearOn
	Contact float64 // cm²·years a litre; 0: not known
	Words   []string
	Values  map[string]string
	ID      string
	Problem string
}

// Value is what was typed into a field, or else what is asked of the vessel.
func (p vesselReadyPage) Value(field string) string { return p.Values[field] }

func (s *Server) vesselReady(c *fiber.Ctx) error { return s.showVesselReady(c, nil, nil) }

func (s *Server) showVesselReady(c *fiber.Ctx, typed map[string]string, problem error) error {
	p := vesselReadyPage{Page: s.page(c, "What it should come to", "vessels"), Values: typed, ID: cmp.Or(typed["id"], s.book.NewID())}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem = said
	err := s.see(c, func(v *book.View) error {
		vessel, err := vesselOf(c, v)
		if err != nil {
			return err
		}
		p.Code, p.Words = vessel.Code, v.TastingWords()
		if p.Line = v.StockLine(vessel.Code); p.Line.Empty() {
			return nil
		}
		p.Year = v.AnotherYear(vessel.Code)
		if _, summed, known := v.ContactOf(vessel.Code); known {
			p.Contact = summed
		}
		p.Ready = readyOf(v, vessel.Code)
		return nil
	})
	if err != nil {
		return err
	}
	if p.Values == nil && p.Ready != nil {
		p.Values = readyValues(p.Ready.Asked, p.Ready.Words)
	}
	return s.render(c, "vessel_ready", p)
}

// readyOf is how a vessel stands to what is asked of it; nil if nothing is.
func readyOf(v *book.View, code string) *book.Readiness {
	for _, r := range v.Readiness() {
		if r.Vessel == code {
			return &r
		}
	}
	return nil
}

// readyValues is an aim as the form shows it.
func readyValues(r cellar.Ready, words string) map[string]string {
	figure := func(x float64) string {
		if x == 0 {
			return ""
		}
		return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
	}
	var bands []string
	for _, band := range r.Scores {
		bands = append(bands, fmt.Sprintf("%s %g-%g", band.Of, band.Min, band.Max))
	}
	return map[string]string{
		"floor_pct": figure(r.FloorPct), "age_years": figure(float64(r.AgeDays) / daysPerYear), "latest_years": figure(float64(r.LatestDays) / daysPerYear),
		"contact": figure(r.Contact), "most_contact": figure(r.MostWood), "scores": strings.Join(bands, ", "), "words": words,
	}
}

// setReady says what a vessel should come to.
func (s *Server) setReady(c *fiber.Ctx) error {
	f := &form{c: c}
	ready := &cellar.Ready{
		FloorPct: f.amount("floor_pct"), AgeDays: f.daysOfYears("age_years"), LatestDays: f.daysOfYears("latest_years"),
		Contact: f.amount("contact"), MostWood: f.amount("most_contact"), Scores: f.bands("scores"),
	}
	if f.ticked("none") {
		ready = nil
	}
	err := f.err
	if err == nil {
		err = s.book.SetReady(f.text("id"), s.who(c), named(c, "code"), ready, f.text("words"))
	}
	if err != nil {
		if status := statusOf(err); status == fiber.StatusInternalServerError || status == fiber.StatusNotFound {
			return err
		}
		return s.showVesselReady(c, f.typed(), err)
	}
	return c.Redirect("/v/"+url.PathEscape(named(c, "code"))+"/ready?done=saved", fiber.StatusSeeOther)
}

// daysOfYears reads years; an age statement counts whole years, so part of a day
// is a day.
func (f *form) daysOfYears(field string) int {
	years := f.amount(field)
	if !(years >= 0 && years <= 100) && f.err == nil {
		f.err = &cellar.Problem{Kind: cellar.Invalid, Field: field, Value: f.text(field), Reason: "must be 0 to 100 years"}
	}
	if f.err != nil {
		return 0
	}
	return int(math.Ceil(years * daysPerYear))
}

// bands reads where scores should lie: fruit 3-6, wood 2-5.
func (f *form) bands(field string) []cellar.ReadyBand {
	var bands []cellar.ReadyBand
	for _, said := range linesOf(f.text(field)) {
		at := strings.LastIndex(said, " ")
		low, high, two := strings.Cut(said[at+1:], "-")
		from, errFrom := strconv.ParseFloat(low, 64)
		to, errTo := strconv.ParseFloat(high, 64)
		if at < 1 || !two || errFrom != nil || errTo != nil {
			if f.err == nil {
				f.err = &cellar.Problem{Kind: cellar.Invalid, Field: field, Value: said, Reason: "write a word and two numbers, such as fruit 3-6"}
			}
			return nil
		}
		bands = append(bands, cellar.ReadyBand{Of: strings.TrimSpace(said[:at]), Min: from, Max: to})
	}
	return bands
}
