package server

import (
	"slices"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
)

type benchPage struct {
	Page
	Lines      []book.StockLine // what can be drawn on
	Objectives []string
	Grains     []string
	Fields     planFields
	Problem    string
	Result     *blend.Result
	Record     blendForm
	Sources    map[string]book.StockLine
}

// planFields is the wish as written in the address, so that a plan can be
// kept as a bookmark.
type planFields struct {
	VolumeL, StrengthPct, MinAgeYears, MaxVessels, Objective string
	Grain, GrainMin, KeepL                                   string
	Water                                                    bool
	Use                                                      []string
}

// Uses says whether a vessel is ticked.
func (f planFields) Uses(code string) bool { return slices.Contains(f.Use, code) }

func (s *Server) bench(c *fiber.Ctx) error {
	p := benchPage{Page: s.page(c, "Bench", "bench")}
	p.Fields = planFields{VolumeL: "20", StrengthPct: "46", Objective: blend.OldestFirst, Water: true}
	if err := s.book.See(book.Moment{}, p.offer); err != nil {
		return err
	}
	return s.render(c, "bench", p)
}

// offer lists what can be drawn on and blended into.
func (p *benchPage) offer(v *book.View) error {
	p.Objectives = blend.Objectives()
	p.Sources = make(map[string]book.StockLine)
	grains := make(map[string]bool)
	for _, line := range v.Stock() {
		if line.Empty() {
			p.Record.Empty = append(p.Record.Empty, line.Vessel)
			continue
		}
		p.Lines = append(p.Lines, line)
		p.Sources[line.Vessel] = line
		for grain := range line.Grains {
			if !grains[grain] {
				grains[grain] = true
				p.Grains = append(p.Grains, grain)
			}
		}
	}
	slices.Sort(p.Grains)
	return nil
}

// plan solves the wish in the address and shows the answer below the form.
func (s *Server) plan(c *fiber.Ctx) error {
	p := benchPage{Page: s.page(c, "Bench", "bench"), Fields: readPlanFields(c)}
	wish, err := p.Fields.plan()
	if err == nil {
		err = s.book.See(book.Moment{}, func(v *book.View) error { return v.FillPlan(&wish) })
	}
	if err == nil {
		var result blend.Result
		if result, err = blend.Solve(wish); err == nil {
			p.Result = &result
		}
	}
	if err != nil {
		if statusOf(err) == fiber.StatusInternalServerError {
			return err
		}
		p.Problem = spoken(err)
		c.Status(statusOf(err))
	}
	if err := s.book.See(book.Moment{}, p.offer); err != nil {
		return err
	}
	p.Record.ID = s.book.NewID()
	p.Record.planned(p.Result, p.Sources)
	return s.render(c, "bench", p)
}

func readPlanFields(c *fiber.Ctx) planFields {
	f := planFields{
		VolumeL: c.Query("volume_l"), StrengthPct: c.Query("strength_pct"), MinAgeYears: c.Query("min_age_years"),
		MaxVessels: c.Query("max_vessels"), Objective: c.Query("objective"), Grain: c.Query("grain"),
		GrainMin: c.Query("grain_min_pct"), KeepL: c.Query("keep_l"), Water: c.Query("water") != "",
	}
	for _, code := range c.Context().QueryArgs().PeekMulti("use") {
		f.Use = append(f.Use, string(code))
	}
	return f
}

// plan writes the wish as a plan file, which the planner reads as it reads any.
func (f planFields) plan() (blend.Plan, error) {
	r := &planReader{}
	file := planFile{
		Kind: blend.KindBlend, Water: f.Water, Objective: f.Objective,
		Target: planTarget{r.number("volume_l", f.VolumeL), r.number("strength_pct", f.StrengthPct)},
	}
	keep := r.number("keep_l", f.KeepL)
	for _, code := range f.Use {
		file.Sources = append(file.Sources, planSource{ID: code, KeepL: keep})
	}
	file.Limits.MinAgeDays = r.number("min_age_years", f.MinAgeYears) * 365.25
	file.Limits.MaxVessels = int(r.number("max_vessels", f.MaxVessels))
	if f.Grain != "" && f.GrainMin != "" {
		file.Limits.Shares = []planBand{{f.Grain, r.number("grain_min_pct", f.GrainMin) / 100}}
	}
	if r.err != nil {
		return blend.Plan{}, r.err
	}
	return file.parse()
}
