package server

import (
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// request reads an entry form. The field names are those of cellar.Request.
func (f *form) request(now time.Time, kind, vessel string) cellar.Request {
	r := cellar.Request{
		When: f.when("when", now), Entry: kind, Vessel: vessel, From: f.text("from"),
		VolumeL: f.number("volume_l"), TempC: f.number("temp_c"), GrossKg: f.number("gross_kg"),
		DipCm: f.number("dip_cm"), UllageCm: f.number("ullage_cm"), LevelCm: f.number("level_cm"), MeterL: f.number("meter_l"),
		JugL: f.number("jug_l"), JugTimes: f.number("jug_times"), JugLastL: f.number("jug_last_l"),
		Thermometer: f.text("thermometer"), Balance: f.text("balance"),
		DrawnL: f.drawn(), WaterKg: f.number("water_kg"), Residue: f.number("residue"),
		Instrument: f.text("instrument"), Lot: f.text("lot"), LabelPct: f.number("label_pct"),
		All: f.ticked("all"), Place: f.text("place"), Row: f.text("row"), Tier: f.text("tier"), Into: f.text("into"), Note: f.text("note"), Senses: f.senses(),
		On: f.day("on"), For: f.text("for"),
	}
	f.strength(&r)
	if kind == "bottle" {
		r.Bottles = f.bottles()
	}
	return r
}

// strength puts the reading where its scale belongs: a corrected strength is
// one field, a raw reading with its scale another.
func (f *form) strength(r *cellar.Request) {
	value := f.number("strength")
	switch scale := f.text("scale"); scale {
	case "", "corrected":
		r.StrengthPct = value
	default:
		r.ReadingPct, r.Scale = value, scale
		r.GlassC = f.number("glass_c")
	}
}

// drawn is what was taken, which people say in millilitres.
func (f *form) drawn() *float64 {
	ml := f.number("drawn_ml")
	if ml == nil {
		return nil
	}
	litres := *ml / 1000
	return &litres
}

func (f *form) senses() *cellar.Senses {
	s := cellar.Senses{Colour: f.colour(), Nose: f.text("nose"), Palate: f.text("palate")}
	for i := range mostScores {
		word := strings.ToLower(f.text(indexed("word", i)))
		if word == "" || f.text(indexed("score", i)) == "" {
			continue
		}
		if s.Scores == nil {
			s.Scores = make(map[string]int)
		}
		s.Scores[word] = f.count(indexed("score", i))
	}
	if s.Colour == "" && s.Nose == "" && s.Palate == "" && s.Scores == nil {
		return nil
	}
	return &s
}

func (f *form) bottles() []cellar.Bottles {
	var bottles []cellar.Bottles
	for i := range mostSizes {
		size, count := f.number(indexed("size_l", i)), f.count(indexed("bottles", i))
		if size != nil && count > 0 {
			bottles = append(bottles, cellar.Bottles{SizeL: spirit.Litres(*size), Count: count})
		}
	}
	return bottles
}

// Rows of the forms that repeat.
const (
	mostScores = 4
	mostSizes  = 3
)

func indexed(field string, i int) string { return field + "_" + string(rune('0'+i)) }

// who is the name under which entries are written: the account's, or where
// nobody has one, what the browser was told.
func (s *Server) who(c *fiber.Ctx) string {
	if p := person(c); p.Name != "" {
		return p.Name
	}
	if name := strings.TrimSpace(c.Cookies("croze_name")); name != "" && cellar.CheckName("who", name) == nil {
		return name
	}
	return "keeper"
}
