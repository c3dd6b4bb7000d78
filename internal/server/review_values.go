package server

import (
	"cmp"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

type valuesPage struct {
	Page
	Kinds   []kindValue
	Vessels []book.VesselValue
	Values  map[string]string
	ID      string
	Problem string
}

type kindValue struct {
	Kind cellar.VesselKind
	PerL float64
}

// Value is what was typed into a field.
func (p valuesPage) Value(field string) string { return p.Values[field] }

func (s *Server) values(c *fiber.Ctx) error { return s.showValues(c, nil, nil) }

func (s *Server) showValues(c *fiber.Ctx, typed map[string]string, problem error) error {
	p := valuesPage{Page: s.page(c, "What it is worth", "vessels"), ID: cmp.Or(typed["id"], s.book.NewID()), Values: typed}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem = said
	err := s.book.Glance(book.Moment{}, func(v *book.View) error {
		ofKind, vessels := v.Values()
		for _, kind := range cellar.VesselKinds {
			p.Kinds = append(p.Kinds, kindValue{kind, ofKind[kind]})
		}
		p.Vessels = vessels
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "values", p)
}

// setValue sets what a litre is worth, in one vessel or in all of a kind.
func (s *Server) setValue(c *fiber.Ctx) error {
	f := &form{c: c}
	value := cellar.Value{Vessel: f.text("vessel"), Of: cellar.VesselKind(f.text("of")), PerL: f.amount("per_l")}
	err := f.err
	if err == nil {
		err = s.book.SetValue(f.text("id"), s.who(c), value)
	}
	if err != nil {
		return s.showValues(c, f.typed(), err)
	}
	return c.Redirect("/review/values?done=saved", fiber.StatusSeeOther)
}
