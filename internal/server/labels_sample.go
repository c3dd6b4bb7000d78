package server

import (
	"fmt"
	"net/url"
	"strings"

	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/label"
)

// sampleLabelOf is the label of a sample bottle: its code is the ID of the entry, so
// that scanning it shows what was found.
func sampleLabelOf(v *book.View, publicURL, id string) (label.Label, error) {
	e, ok := v.EntryByID(strings.ToUpper(id))
	if !ok || e.Fact.Kind() != "sample" {
		return label.Label{}, &cellar.Problem{Kind: cellar.NotFound, Field: "sample", Value: id, Reason: "no sample was recorded under this ID"}
	}
	address, err := label.Address(publicURL, label.Sample, e.ID)
	_, vessel := e.Fact.Subjects()[0].Split()
	lines := []string{"Taken " + e.Day().String()}
	if r := e.Fact.(*cellar.Sample).Reading; r != nil {
		lines = append(lines, fmt.Sprintf("%.1f %% vol", float64(r.StrengthPct)))
	}
	return label.Label{Address: address, Code: vessel, Kind: "Sample", Lines: lines}, err
}

// labelReplaced notes that the label of a batch or a lot was replaced; a
// vessel's is noted by the forms of its entries.
func (s *Server) labelReplaced(c *fiber.Ctx) error {
	f := &form{c: c}
	of := f.text("of")
	saved, err := s.book.Record(book.Submission{ID: f.text("id"), Who: s.who(c), Request: cellar.Request{
		When: s.book.Now(), Entry: "relabel", From: of, Note: f.text("note"),
	}})
	if err != nil {
		return err
	}
	page := "/"
	if name, ok := cellar.Account(of).Batch(); ok {
		page = "/b/" + url.PathEscape(name)
	} else if name, ok := cellar.Account(of).Lot(); ok {
		page = "/l/" + url.PathEscape(name)
	}
	return c.Redirect(page+"?"+url.Values{"done": {"saved"}, "undo": {saved.ID}}.Encode(), fiber.StatusSeeOther)
}
