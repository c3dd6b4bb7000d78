package label

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// ForVessels makes the labels of vessels, by code in any spelling; no codes
// means all. What changes while spirit rests is not on a label.
func ForVessels(v *book.View, publicURL string, codes []string) ([]Label, error) {
	if len(codes) == 0 {
		codes = v.State.VesselCodes()
	}
	labels := make([]Label, 0, len(codes))
	for _, written := range codes {
		vessel, ok := v.State.FindVessel(written)
		if !ok {
			return nil, &cellar.Problem{Kind: cellar.NotFound, Field: "code", Value: written, Reason: "no such vessel is registered"}
		}
		address, err := Address(publicURL, Vessel, vessel.Code)
		if err != nil {
			return nil, err
		}
		labels = append(labels, Label{Address: address, Code: vessel.Code, Kind: kindLine(vessel), Lines: fillLines(vessel)})
	}
	return labels, nil
}

func kindLine(v *cellar.VesselState) string {
	kind := capitalised(string(v.Kind)) + ", " + strconv.FormatFloat(float64(v.CapacityL), 'f', -1, 64) + " L"
	if v.Kind.Wooden() && v.Wood != "" {
		kind += ", " + v.WoodLabel()
	}
	return kind
}

// fillLines says when the vessel was filled, how strong and from what; a
// vessel that stands empty has none.
func fillLines(v *cellar.VesselState) []string {
	for i := len(v.Events) - 1; i >= 0; i-- {
		e := v.Events[i]
		if e.Emptied {
			break
		}
		if !e.Filled {
			continue
		}
		return []string{
			fmt.Sprintf("Filled %s at %.1f %% vol", e.Entry.Day(), float64(e.In.Strength())),
			"From " + sources(e.Entry.Fact.Subjects()),
		}
	}
	return nil
}

// sources names what a filling came from: the first of its subjects is the vessel itself.
func sources(subjects []cellar.Account) string {
	names := make([]string, 0, len(subjects))
	for _, a := range subjects[1:] {
		_, name := a.Split()
		names = append(names, name)
	}
	return strings.Join(names, ", ")
}

func capitalised(s string) string {
	r, size := utf8.DecodeRuneInString(s)
	return strings.ToUpper(string(r)) + s[size:]
}

// ForBatch makes the label of a batch.
func ForBatch(v *book.View, publicURL, name string) (Label, error) {
	b, ok := v.State.Batches[name]
	if !ok {
		return Label{}, &cellar.Problem{Kind: cellar.NotFound, Field: "batch", Value: name, Reason: "no such batch is registered"}
	}
	address, err := Address(publicURL, Batch, name)
	l := Label{Address: address, Code: name, Kind: "Batch"}
	if b.MadeOn != 0 {
		l.Lines = append(l.Lines, "Made "+b.MadeOn.String())
	}
	if b.StrengthPct > 0 {
		l.Lines = append(l.Lines, fmt.Sprintf("%.1f %% vol", float64(b.StrengthPct)))
	}
	return l, err
}

// ForLot makes the label of a bottling.
func ForLot(v *book.View, publicURL, name string) (Label, error) {
	lot, ok := v.State.Lots[name]
	if !ok {
		return Label{}, &cellar.Problem{Kind: cellar.NotFound, Field: "lot", Value: name, Reason: "no such bottling is registered"}
	}
	address, err := Address(publicURL, BottleLot, name)
	return Label{Address: address, Code: name, Kind: "Bottle lot", Lines: []string{
		"Bottled " + cellar.DayOf(lot.At).String(), fmt.Sprintf("%.1f %% vol", float64(lot.LabelPct)),
	}}, err
}
