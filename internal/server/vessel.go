package server

import (
	"html/template"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

type vesselPage struct {
	Page
	Vessel   cellar.Vessel
	PlacedAt string
	Spot     cellar.Spot
	Line     book.StockLine
	Ages     cellar.Ages
	Parts    []book.PartLine
	Grains   []cellar.Share
	Map      template.HTML
	Courses  []template.HTML
	History  []book.HistoryLine
	Ready    *book.Readiness // nil: nothing is asked of it
	Aims     []cellar.Aimed  // days to come back that are still to be met
	Actions  []string
}

// What can be done with a vessel that holds something, and with an empty one.
var (
	filledActions = []string{"draw", "top_up", "transfer", "reduce", "bottle", "move", "spill", "empty", "note", "aim", "relabel"}
	emptyActions  = []string{"fill", "rinse", "move", "note", "relabel"}
)

func (s *Server) vessel(c *fiber.Ctx) error {
	p := vesselPage{Page: s.page(c, "", "vessels"), Actions: filledActions}
	err := s.see(c, func(v *book.View) error {
		vessel, err := vesselOf(c, v)
		if err != nil {
			return err
		}
		code := vessel.Code
		p.Title, p.Vessel, p.PlacedAt = code, vessel.Vessel, vessel.PlacedAt
		p.Spot = vessel.PlacedIn
		p.Line = v.StockLine(code)
		p.History, p.Aims = v.History(code), v.AimsOf(code)
		if p.Line.Empty() {
			p.Actions = emptyActions
			return nil
		}
		p.Ready = readyOf(v, code)
		p.Ages = v.State.AgesOn(cellar.VesselAccount(code), v.On)
		p.Parts, p.Grains = v.Parts(cellar.VesselAccount(code))
		p.Map, p.Courses = vesselMap(v, code), courses(v, code)
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "vessel", p)
}
