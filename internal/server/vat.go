package server

import (
	"cmp"
	"errors"
	"math"
	"net/url"
	"slices"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/identity"
	"example.org/croze/internal/spirit"
)

type vatPage struct {
	Page
	Plan     book.PlanLine
	Sheet    blend.Sheet
	Fields   vatFields
	AtC      map[string]float64 // temperature of each vessel, as reckoned with
	Trim     *blend.Trim
	TrimWhy  string // why there is no trim
	Others   []book.StockLine
	Lines    map[string]book.StockLine // vessels of the plan, as they are now
	Cautions []identity.Caution
	Form     makingForm
	Made     *madeView
	Problem  string
	DropID   string
}

// vatFields are the conditions of the work and what was gauged, as written in
// the address.
type vatFields struct {
	OtherC, MeasureL, MostDrop, RestHours string
	At                                    map[string]string // °C of single vessels
	GaugedPct, GaugedL, GaugedC, TrimFrom string
	ToVolume, Raw                         bool
}

// AtOf is what was written for a vessel.
func (f vatFields) AtOf(code string) string { return f.At[code] }

// LineOf is a vessel of the plan as it is now.
func (p vatPage) LineOf(code string) book.StockLine { return p.Lines[code] }

// PlannedPct is the strength that the plan reckoned with.
func (p vatPage) PlannedPct(code string) float64 {
	for _, d := range p.Plan.Draws {
		if d.Vessel == code {
			return d.StrengthPct
		}
	}
	return 0
}

// madeView is a plan beside what was made of it.
type madeView struct {
	Entry cellar.Entry
	Blend *cellar.Blend
	Rows  []madeRow
	Into  book.StockLine
}

type madeRow struct {
	What           string
	PlanL, MadeL   float64
	PlanKg, MadeKg float64
}

// usualC is the temperature of a store of which nothing is registered.
const usualC = "15"

func readVatFields(v url.Values) vatFields {
	f := vatFields{
		OtherC: v.Get("other_c"), MeasureL: v.Get("measure_l"), MostDrop: v.Get("most_drop"), RestHours: v.Get("rest_hours"),
		GaugedPct: v.Get("gauged_pct"), GaugedL: v.Get("gauged_l"), GaugedC: v.Get("gauged_c"), TrimFrom: v.Get("trim_from"),
		ToVolume: v.Get("to_volume") != "", Raw: v.Get("raw") != "", At: make(map[string]string),
	}
	const prefix = "at:"
	for name, texts := range v {
		if len(name) > len(prefix) && name[:len(prefix)] == prefix && texts[0] != "" {
			f.At[name[len(prefix):]] = texts[0]
		}
	}
	if f.OtherC == "" {
		f.OtherC = usualC
	}
	if f.RestHours == "" {
		f.RestHours = "24"
	}
	return f
}

func (f vatFields) conditions(r *planReader) blend.Conditions {
	c := blend.Conditions{
		OtherC: r.number("other_c", f.OtherC), MeasureL: r.number("measure_l", f.MeasureL),
		MostDrop: r.number("most_drop", f.MostDrop), RestHours: r.number("rest_hours", f.RestHours), VesselC: make(map[string]float64),
	}
	for code, text := range f.At {
		c.VesselC[code] = r.number("temp_c of "+code, text)
	}
	return c
}

func (f vatFields) gauge(r *planReader) book.VatGauge {
	return book.VatGauge{
		StrengthPct: r.number("gauged_pct", f.GaugedPct), VolumeL: r.scaled("gauged_l", f.GaugedL, 1),
		TempC: r.scaled("gauged_c", f.GaugedC, 1), From: f.TrimFrom, ToVolume: f.ToVolume, Raw: f.Raw,
	}
}

// vat shows a kept plan as a work sheet, and what came of it once it is made.
func (s *Server) vat(c *fiber.Ctx) error {
	return s.showVat(c, readVatFields(sent(c)), nil, nil)
}

func (s *Server) showVat(c *fiber.Ctx, fields vatFields, typed *makingForm, problem error) error {
	if problem != nil && statusOf(problem) == fiber.StatusInternalServerError {
		return problem
	}
	p := vatPage{Page: s.page(c, "At the vat", "bench"), Fields: fields, DropID: s.book.NewID()}
	if err := s.book.See(book.Moment{}, func(v *book.View) error { return p.fill(v, c.Params("id")) }); err != nil {
		return err
	}
	p.Title = p.Plan.Name
	empty := p.Form.Empty
	p.Form = p.newForm(s.book.NewID)
	if typed != nil {
		p.Form = *typed
	}
	p.Form.Empty = empty
	p.Form.tell(problem)
	if p.Problem != "" {
		problem = &cellar.Problem{Kind: cellar.Invalid}
	}
	if problem != nil {
		c.Status(statusOf(problem))
	}
	return s.render(c, "vat", p)
}

// fill looks everything up that the sheet needs.
func (p *vatPage) fill(v *book.View, id string) error {
	var err error
	if p.Plan, err = v.FindPlan(id); err != nil {
		return err
	}
	p.Lines = make(map[string]book.StockLine)
	for _, d := range p.Plan.Draws {
		p.Lines[d.Vessel] = v.StockLine(d.Vessel)
	}
	for _, line := range v.Stock() {
		if !line.Empty() {
			p.Others = append(p.Others, line)
		} else {
			p.Form.Empty = append(p.Form.Empty, line)
		}
	}
	p.Form.fittingFirst(p.Plan.VolumeL)
	if !p.Plan.Waiting() {
		p.Made = madeOf(v, p.Plan)
	}
	p.Cautions = cautionsOf(p.Plan.StrengthPct)
	p.work(v)
	return nil
}

// fittingFirst puts the vessels that hold the lot first, the smallest of them
// in front.
func (f *makingForm) fittingFirst(litres float64) {
	slices.SortStableFunc(f.Empty, func(a, b book.StockLine) int {
		if fits := a.CapacityL >= litres; fits != (b.CapacityL >= litres) {
			if fits {
				return -1
			}
			return 1
		}
		return cmp.Compare(a.CapacityL, b.CapacityL)
	})
}

// work lays the sheet out and works the trim out. What is wrong with the
// conditions is said, and the sheet shown without them.
func (p *vatPage) work(v *book.View) {
	r := &planReader{}
	conditions := p.Fields.conditions(r)
	gauge := p.Fields.gauge(r)
	err := r.err
	if err == nil {
		p.Sheet, err = v.WorkSheet(p.Plan, conditions)
	}
	if err != nil {
		p.Problem = spoken(err)
		p.Fields = readVatFields(url.Values{})
		p.Sheet, _ = v.WorkSheet(p.Plan, p.Fields.conditions(&planReader{}))
		return
	}
	if p.Fields.GaugedPct == "" {
		return
	}
	trim, err := v.Trim(p.Plan, gauge)
	if err != nil {
		p.TrimWhy = spoken(err)
		return
	}
	p.Trim = &trim
}

// cautionsOf are those of handling spirit of a strength: what is to be said of
// the still is said elsewhere.
func cautionsOf(pct float64) []identity.Caution {
	return slices.DeleteFunc(identity.Cautions(spirit.Strength(math.Round(pct*10)/10), ""), func(c identity.Caution) bool {
		return c.Topic == "heads"
	})
}

// madeOf puts the plan beside what was made of it.
func madeOf(v *book.View, line book.PlanLine) *madeView {
	f := line.MadeBy.Fact.(*cellar.Blend)
	m := &madeView{Entry: *line.MadeBy, Blend: f, Into: v.StockLine(line.Into)}
	for _, d := range line.Draws {
		m.Rows = append(m.Rows, madeRow{What: d.Vessel, PlanL: d.VolumeL})
	}
	for _, d := range f.Draws {
		_, name := d.From.Split()
		m.add(madeRow{What: name, MadeL: float64(d.Measure.Amount.Volume()), MadeKg: float64(d.Measure.Amount.Mass())})
	}
	m.Rows = append(m.Rows, madeRow{What: "water", PlanKg: line.WaterKg, MadeKg: float64(f.Water.Mass())})
	return m
}

func (m *madeView) add(made madeRow) {
	for i := range m.Rows {
		if m.Rows[i].What == made.What {
			m.Rows[i].MadeL += made.MadeL
			m.Rows[i].MadeKg += made.MadeKg
			return
		}
	}
	m.Rows = append(m.Rows, made)
}

// keptFile gives a kept plan's file, with the stock it was worked out from.
func (s *Server) keptFile(c *fiber.Ctx) error {
	var line book.PlanLine
	err := s.book.See(book.Moment{}, func(v *book.View) (err error) {
		line, err = v.FindPlan(c.Params("id"))
		return err
	})
	if err != nil {
		return err
	}
	c.Set(fiber.HeaderContentDisposition, `attachment; filename="plan.json"`)
	c.Set(fiber.HeaderContentType, fiber.MIMEApplicationJSONCharsetUTF8)
	return c.Send(append([]byte(line.File), '\n'))
}

// tell puts a problem, or the doubts about what was written, on the form.
func (f *makingForm) tell(problem error) {
	var doubts *book.Doubts
	if errors.As(problem, &doubts) {
		f.Questions = doubts.Questions
	} else if problem != nil {
		f.Problem = spoken(problem)
	}
}
