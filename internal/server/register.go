package server

import (
	"cmp"
	"net/url"
	"strconv"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/exchange"
	"example.org/croze/internal/gauge"
	"example.org/croze/internal/spirit"
)

type vesselFormPage struct {
	Page
	Vessel   cellar.Vessel
	Known    bool // a correction
	Values   map[string]string
	Kinds    []cellar.VesselKind
	Places   []string
	Profiles []gauge.Profile
	Inside   insideFields
	ID       string
	Problem  string
}

// Value is what was typed into a field, or else what is registered.
func (p vesselFormPage) Value(field string) string { return p.Values[field] }

// vesselValues is a registration as the form shows it.
func vesselValues(v cellar.Vessel) map[string]string {
	figure := func(x float64) string {
		if x == 0 {
			return ""
		}
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return map[string]string{
		"kind": string(v.Kind), "capacity_l": figure(float64(v.CapacityL)), "tare_kg": figure(float64(v.TareKg)),
		"wood": v.Wood, "wood_state": string(v.WoodState), "wood_area_m2": figure(v.WoodAreaM2),
		"place": v.Place, "row": v.Row, "tier": v.Tier, "maker_code": v.MakerCode, "note": v.Note,
	}
}

func (s *Server) vesselForm(c *fiber.Ctx) error {
	p := vesselFormPage{Page: s.page(c, "Register a vessel", "vessels"), Kinds: cellar.VesselKinds, Profiles: profiles, ID: s.book.NewID()}
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		p.Places = v.PlaceNames()
		if named(c, "code") == "" {
			return nil
		}
		vessel, err := vesselOf(c, v)
		if err == nil {
			p.Vessel, p.Known, p.Title = vessel.Vessel, true, "Correct "+vessel.Code
			p.Values, p.Inside = vesselValues(p.Vessel), shownInside(vessel.Inside)
		}
		return err
	})
	if err != nil {
		return err
	}
	return s.render(c, "vessel_form", p)
}

func (s *Server) registerVessel(c *fiber.Ctx) error {
	f := &form{c: c}
	v := cellar.Vessel{
		Code: f.text("code"), Kind: cellar.VesselKind(f.text("kind")), CapacityL: spirit.Litres(f.amount("capacity_l")),
		Wood: f.text("wood"), WoodState: cellar.WoodState(f.text("wood_state")), WoodAreaM2: f.amount("wood_area_m2"),
		Place: f.text("place"), Spot: cellar.Spot{Row: f.text("row"), Tier: f.text("tier")}, TareKg: spirit.Kilograms(f.amount("tare_kg")), MakerCode: f.text("maker_code"), Note: f.text("note"),
		Inside: f.inside(),
	}
	if f.text("capacity_l") == "" && f.err == nil {
		f.err = &cellar.Problem{Kind: cellar.Invalid, Field: "capacity_l", Reason: "is blank: say how many litres it holds"}
	}
	known := named(c, "code") != ""
	if known {
		v.Code = named(c, "code")
	}
	err := f.err
	var saved cellar.Vessel
	if err == nil {
		saved, err = s.saveVessel(f.text("id"), s.who(c), v, known)
	}
	if err != nil {
		return s.vesselAgain(c, v, known, f.typed(), err)
	}
	return c.Redirect("/v/"+url.PathEscape(saved.Code)+"?done=registered", fiber.StatusSeeOther)
}

func (s *Server) saveVessel(id, who string, v cellar.Vessel, known bool) (cellar.Vessel, error) {
	if known {
		return s.book.RegisterVessel(id, who, v)
	}
	return s.book.RegisterNewVessel(id, who, v)
}

func (s *Server) vesselAgain(c *fiber.Ctx, v cellar.Vessel, known bool, values map[string]string, problem error) error {
	if statusOf(problem) == fiber.StatusInternalServerError {
		return problem
	}
	p := vesselFormPage{
		Page: s.page(c, "Register a vessel", "vessels"), Vessel: v, Known: known, Values: values,
		Kinds: cellar.VesselKinds, Profiles: profiles, Inside: typedInside(values), ID: values["id"], Problem: spoken(problem),
	}
	_ = s.book.See(book.Moment{}, func(view *book.View) error { p.Places = view.PlaceNames(); return nil })
	c.Status(statusOf(problem))
	return s.render(c, "vessel_form", p)
}

type placesPage struct {
	Page
	Places  []cellar.Place
	ID      string
	Values  map[string]string // as typed, to show again
	Problem string
}

// Value is what was typed into a field.
func (p placesPage) Value(field string) string { return p.Values[field] }

func (s *Server) places(c *fiber.Ctx) error { return s.showPlaces(c, nil, nil) }

func (s *Server) showPlaces(c *fiber.Ctx, problem error, values map[string]string) error {
	p := placesPage{Page: s.page(c, "Places", "vessels"), ID: s.book.NewID(), Values: values}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem, p.ID = said, cmp.Or(values["id"], p.ID)
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		for _, name := range v.PlaceNames() {
			p.Places = append(p.Places, v.State.Places[name])
		}
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "places", p)
}

func (s *Server) registerPlace(c *fiber.Ctx) error {
	f := &form{c: c}
	p := cellar.Place{Name: f.text("place"), TempC: f.number("temp_c"), HumidityPct: f.number("humidity_pct")}
	err := f.err
	if err == nil {
		err = s.book.RegisterPlace(f.text("id"), s.who(c), p)
	}
	if err != nil {
		return s.showPlaces(c, err, f.typed())
	}
	return c.Redirect("/places?done=registered", fiber.StatusSeeOther)
}

// grains reads a mash bill in the form of the files: rye:0.6;barley:0.4.
func (f *form) grains(field string) map[string]float64 {
	text := f.text(field)
	if text == "" {
		return nil
	}
	grains, err := exchange.ParseShares(text)
	if err != nil && f.err == nil {
		f.err = &cellar.Problem{Kind: cellar.Invalid, Field: field, Value: text, Reason: err.Error()}
	}
	return grains
}

// leftovers reads the rows of what was carried into a run.
func (f *form) leftovers() []cellar.RequestDraw {
	from := f.text("carried_from")
	if strings.TrimSpace(from) == "" {
		return nil
	}
	return []cellar.RequestDraw{{From: from, VolumeL: f.number("carried_l"), StrengthPct: f.number("carried_pct")}}
}
