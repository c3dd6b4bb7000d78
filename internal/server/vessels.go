package server

import (
	"cmp"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
)

type vesselsPage struct {
	Page
	Lines  []book.StockLine
	Total  loss.State
	Filter stockFilter
	Kinds  []cellar.VesselKind
	Places []string
	Count  int // of all vessels
}

// stockFilter is what the address narrows the list to.
type stockFilter struct {
	Kind, Place, Find, Sort string
	Empty                   bool // empty vessels too
}

// sortWords are the columns that the list can be sorted by, in the order to offer them in.
var sortWords = []struct{ Key, Words string }{
	{"code", "Code"}, {"strength", "Strength"}, {"volume", "Content"}, {"alcohol", "Pure alcohol"},
	{"age", "Age"}, {"loss", "Loss"}, {"drift", "Drift"}, {"place", "Place"},
}

// SortWords is for the template.
func (f stockFilter) SortWords() []struct{ Key, Words string } { return sortWords }

func (f stockFilter) takes(l book.StockLine) bool {
	if l.Empty() && !f.Empty {
		return false
	}
	if f.Kind != "" && l.Kind != f.Kind || f.Place != "" && l.Place != f.Place {
		return false
	}
	if f.Find == "" {
		return true
	}
	said := strings.ToLower(l.Vessel + " " + l.MakerCode + " " + l.Wood + " " + l.Place + " " + strings.Join(l.Flags, " "))
	for name := range l.Batches {
		said += " " + strings.ToLower(name)
	}
	for name := range l.Grains {
		said += " " + strings.ToLower(name)
	}
	return strings.Contains(said, strings.ToLower(f.Find))
}

func (f stockFilter) compare(a, b book.StockLine) int {
	by := map[string]int{
		"strength": cmp.Compare(b.StrengthPct, a.StrengthPct),
		"volume":   cmp.Compare(b.VolumeL, a.VolumeL),
		"alcohol":  cmp.Compare(b.PureAlcoholL, a.PureAlcoholL),
		"age":      cmp.Compare(b.YoungestDays, a.YoungestDays),
		"loss":     cmp.Compare(b.LossPctPerYear, a.LossPctPerYear),
		"drift":    cmp.Compare(b.DriftPerYear, a.DriftPerYear),
		"place":    cmp.Compare(a.Place, b.Place),
	}[f.Sort]
	return cmp.Or(by, cmp.Compare(a.Vessel, b.Vessel))
}

func (s *Server) vessels(c *fiber.Ctx) error {
	p := vesselsPage{Page: s.page(c, "Vessels", "vessels"), Kinds: cellar.VesselKinds}
	p.Filter = stockFilter{c.Query("kind"), c.Query("place"), strings.TrimSpace(c.Query("find")), c.Query("sort"), c.Query("empty") != ""}
	err := s.see(c, func(v *book.View) error {
		p.Count = len(v.State.Vessels)
		var codes []string
		for _, line := range v.Stock() {
			if p.Filter.takes(line) {
				p.Lines = append(p.Lines, line)
				codes = append(codes, line.Vessel)
			}
		}
		slices.SortFunc(p.Lines, p.Filter.compare)
		p.Total = v.Total(codes)
		p.Places = v.PlaceNames()
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "vessels", p)
}

// find leads from a code, or a label's whole address, to its page.
func (s *Server) find(c *fiber.Ctx) error {
	return s.findCode(c, strings.TrimSpace(c.Query("code")))
}
