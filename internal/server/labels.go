package server

import (
	"bytes"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/label"
)

type labelsPage struct {
	Page
	Layouts   label.LayoutSet
	Lines     []book.StockLine
	Chosen    string
	PublicURL string
	Preview   string // one label as SVG in a data address
}

func (s *Server) labels(c *fiber.Ctx) error {
	p := labelsPage{Page: s.page(c, "Labels", "labels"), Layouts: s.options.Layouts, Chosen: c.Query("code"), PublicURL: s.publicURL(c)}
	err := s.book.See(book.Moment{}, func(v *book.View) error {
		p.Lines = v.Stock()
		return nil
	})
	if err != nil {
		return err
	}
	return s.render(c, "labels", p)
}

// publicURL is what labels hold: the configured address, or the one that the
// browser used.
func (s *Server) publicURL(c *fiber.Ctx) string {
	if s.options.PublicURL != "" {
		return s.options.PublicURL
	}
	return c.BaseURL()
}

// labelSheet sends labels as a PDF, or one of them as SVG or printer text.
func (s *Server) labelSheet(c *fiber.Ctx) error {
	layout, err := s.options.Layouts.Find(c.Query("layout"))
	if err != nil {
		return &cellar.Problem{Kind: cellar.Invalid, Field: "layout", Value: c.Query("layout"), Reason: err.Error()}
	}
	var codes []string
	for _, code := range c.Context().QueryArgs().PeekMulti("code") {
		codes = append(codes, string(code))
	}
	var labels []label.Label
	err = s.book.See(book.Moment{}, func(v *book.View) (err error) {
		labels, err = s.labelsFor(v, c, codes)
		return err
	})
	if err != nil {
		return err
	}
	return sendLabels(c, layout, labels)
}

func (s *Server) labelsFor(v *book.View, c *fiber.Ctx, codes []string) ([]label.Label, error) {
	one := func(l label.Label, err error) ([]label.Label, error) { return []label.Label{l}, err }
	switch {
	case c.Query("batch") != "":
		return one(label.ForBatch(v, s.publicURL(c), c.Query("batch")))
	case c.Query("sample") != "":
		return one(sampleLabelOf(v, s.publicURL(c), c.Query("sample")))
	case c.Query("lot") != "":
		labels, err := one(label.ForLot(v, s.publicURL(c), c.Query("lot")))
		return slices.Repeat(labels, min(max(1, c.QueryInt("copies")), label.MostLabels)), err
	}
	return label.ForVessels(v, s.publicURL(c), codes)
}

func sendLabels(c *fiber.Ctx, layout label.Layout, labels []label.Label) error {
	if len(labels) == 0 {
		return &cellar.Problem{Kind: cellar.Invalid, Field: "code", Reason: "choose at least one vessel"}
	}
	var out bytes.Buffer
	var err error
	kind := "application/pdf"
	switch strings.ToLower(c.Query("as")) {
	case "svg":
		kind = "image/svg+xml"
		err = label.SVG(&out, layout, labels[0])
	case "zpl":
		kind = "text/plain; charset=utf-8"
		for _, l := range labels {
			if err == nil {
				err = label.ZPL(&out, layout, l)
			}
		}
	default:
		err = label.PDF(&out, layout, labels, label.Options{Skip: max(0, c.QueryInt("skip"))})
	}
	if err != nil {
		return &cellar.Problem{Kind: cellar.Invalid, Field: "layout", Value: layout.Name, Reason: err.Error()}
	}
	c.Set("Content-Type", kind)
	return c.Send(out.Bytes())
}
