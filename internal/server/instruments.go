package server

import (
	"slices"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

type instrumentsPage struct {
	Page
	Certificates []cellar.Instrument
	Kinds        []cellar.InstrumentKind
	ID           string
	Values       map[string]string
	Problem      string
}

// Value is what was typed into a field.
func (p instrumentsPage) Value(field string) string { return p.Values[field] }

func (s *Server) instruments(c *fiber.Ctx) error { return s.showInstruments(c, nil, nil) }

func (s *Server) showInstruments(c *fiber.Ctx, problem error, values map[string]string) error {
	p := instrumentsPage{
		Page: s.page(c, "Instruments", "vessels"), Kinds: cellar.InstrumentKinds, ID: s.book.NewID(), Values: values,
	}
	said, fault := told(c, problem)
	if fault != nil {
		return fault
	}
	p.Problem = said
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		p.Certificates = v.State.Instruments()
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "instruments", p)
}

func (s *Server) registerInstrument(c *fiber.Ctx) error {
	f := &form{c: c}
	i := cellar.Instrument{
		Name: f.text("instrument"), Kind: cellar.InstrumentKind(f.text("kind")), Scale: f.text("scale"),
		BaseC: spirit.Celsius(f.amount("glass_c")), From: f.day("from"), Add: f.amount("add"), SD: f.amount("sd"), Note: f.text("note"),
	}
	err := f.err
	if err == nil {
		err = s.book.RegisterInstrument(f.text("id"), s.who(c), i)
	}
	if err != nil {
		return s.showInstruments(c, err, f.typed())
	}
	return c.Redirect("/instruments?done=registered", fiber.StatusSeeOther)
}

// toolNames lists the registered instruments by kind, each once.
func toolNames(v *book.View) map[cellar.InstrumentKind][]string {
	tools := make(map[cellar.InstrumentKind][]string)
	for _, i := range v.State.Instruments() {
		if !slices.Contains(tools[i.Kind], i.Name) {
			tools[i.Kind] = append(tools[i.Kind], i.Name)
		}
	}
	return tools
}
