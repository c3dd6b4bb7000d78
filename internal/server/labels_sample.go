package server

import (
	"fmt"
	"strings"

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
