package server

import (
	"net/url"
	"strconv"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// makingForm is what was really measured at the vat, as typed.
type makingForm struct {
	ID, GaugeID, RestID        string
	Rows                       []makingRow
	Water                      []waterBox
	Into, Note, When           string
	VatPct, VatL, VatC, RestTo string
	Raw                        bool             // the strength of the vat is as read
	Empty                      []book.StockLine // vessels to blend into
	Questions                  []cellar.Question
	Problem                    string
}

// makingRow is one draw. What was planned stands beside the boxes and is never
// taken for what was measured.
type makingRow struct {
	From                          string
	Spare                         bool // a vessel that the plan does not name
	PlanL, PlanKg                 string
	WeighsKg, VolumeL, TempC, Pct string
	All                           bool
}

type waterBox struct{ Plan, Kg string }

// spareRows is how many vessels beyond the plan a making may name: the trim.
const spareRows = 2

// newForm is the form before anything was written.
func (p *vatPage) newForm(newID func() string) makingForm {
	f := makingForm{ID: newID(), GaugeID: newID(), RestID: newID()}
	times := float64(p.Sheet.Measures)
	for _, d := range p.Sheet.Draws {
		f.Rows = append(f.Rows, makingRow{
			From: d.ID, PlanL: strconv.FormatFloat(d.VolumeAtL*times, 'f', 2, 64), PlanKg: strconv.FormatFloat(d.WeighsKg*times, 'f', 3, 64),
			TempC: writtenExactly(d.AtC),
		})
	}
	for range spareRows {
		f.Rows = append(f.Rows, makingRow{Spare: true})
	}
	for _, step := range p.Sheet.Water {
		f.Water = append(f.Water, waterBox{Plan: strconv.FormatFloat(step.WeighsKg*times, 'f', 3, 64)})
	}
	f.Water = append(f.Water, waterBox{})
	return f
}

// makingForm reads the form as it was typed.
func (f *form) makingForm() makingForm {
	m := makingForm{
		ID: f.text("id"), GaugeID: f.text("gauge_id"), RestID: f.text("rest_id"), Into: f.text("into"), Note: f.text("note"), When: f.text("when"),
		VatPct: f.text("vat_pct"), VatL: f.text("vat_l"), VatC: f.text("vat_c"), RestTo: f.text("rest_to"), Raw: f.ticked("vat_raw"),
	}
	for i := range cellar.MostDraws {
		if f.c.FormValue(row("row", i)) == "" {
			break
		}
		m.Rows = append(m.Rows, makingRow{
			From: f.text(row("from", i)), Spare: f.text(row("row", i)) == "spare", PlanL: f.text(row("plan_l", i)), PlanKg: f.text(row("plan_kg", i)),
			WeighsKg: f.text(row("weighs_kg", i)), VolumeL: f.text(row("volume_l", i)), TempC: f.text(row("temp_c", i)),
			Pct: f.text(row("strength_pct", i)), All: f.ticked(row("all", i)),
		})
	}
	for i := range cellar.MostDraws {
		if f.c.FormValue(row("water", i)) == "" {
			break
		}
		m.Water = append(m.Water, waterBox{Plan: f.text(row("water_plan", i)), Kg: f.text(row("water_kg", i))})
	}
	return m
}

// making puts the form's numbers together.
func (m *makingForm) making(f *form) book.Making {
	r := &planReader{}
	out := book.Making{
		ID: m.ID, GaugeID: m.GaugeID, RestID: m.RestID, Into: m.Into, Note: m.Note, Sure: f.ticked("sure"),
		StrengthPct: r.scaled("vat_pct", m.VatPct, 1), VolumeL: r.scaled("vat_l", m.VatL, 1), TempC: r.scaled("vat_c", m.VatC, 1),
		Raw: m.Raw, RestUntil: f.day("rest_to"),
	}
	for _, row := range m.Rows {
		if row.Spare && (row.From == "" || row.WeighsKg == "" && row.VolumeL == "") {
			continue
		}
		draw := cellar.RequestDraw{
			From: "vessel:" + row.From, WeighsKg: r.scaled("weighs_kg of "+row.From, row.WeighsKg, 1), VolumeL: r.scaled("volume_l of "+row.From, row.VolumeL, 1),
			StrengthPct: r.scaled("strength_pct of "+row.From, row.Pct, 1), All: row.All,
		}
		if draw.VolumeL != nil {
			draw.TempC = r.scaled("temp_c of "+row.From, row.TempC, 1)
		}
		out.Draws = append(out.Draws, draw)
	}
	for _, box := range m.Water {
		out.WaterWeighsKg = append(out.WaterWeighsKg, r.number("water_kg", box.Kg))
	}
	if f.err == nil {
		f.err = r.err
	}
	return out
}

// madePlan records what was measured at the vat.
func (s *Server) madePlan(c *fiber.Ctx) error {
	f := &form{c: c}
	typed := f.makingForm()
	making := typed.making(f)
	making.When, making.Who, making.Plan = f.when("when", s.book.Now()), s.who(c), c.Params("id")
	err := f.err
	if err == nil {
		_, err = s.book.Make(making)
	}
	if err != nil {
		return s.showVat(c, readVatFields(url.Values{}), &typed, err)
	}
	return c.Redirect("/plans/"+url.PathEscape(c.Params("id"))+"?done=made", fiber.StatusSeeOther)
}
