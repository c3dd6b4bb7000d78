package book

import (
	"cmp"
	"slices"

	"example.org/croze/internal/cellar"
)

// valuesPerL gives the value of a litre in every row, the vessel's own before its kind's.
func (v *View) valuesPerL(rows []TableRow) []float64 {
	out := make([]float64, len(rows))
	if len(v.State.Desk.Values) == 0 {
		return out
	}
	ofKind, ofVessel := v.values()
	for i := range rows {
		out[i] = ofKind[rows[i].Kind]
		if own, set := ofVessel[rows[i].Vessel]; set {
			out[i] = own
		}
	}
	return out
}

// values are the figures that hold: the last ones said.
func (v *View) values() (ofKind, ofVessel map[string]float64) {
	ofKind, ofVessel = make(map[string]float64), make(map[string]float64)
	for _, value := range v.State.Desk.Values {
		switch {
		case value.Vessel == "":
			ofKind[string(value.Of)] = value.PerL
		case value.PerL == 0:
			delete(ofVessel, value.Vessel)
		default:
			ofVessel[value.Vessel] = value.PerL
		}
	}
	return ofKind, ofVessel
}

// VesselValue is the value of a litre in one vessel.
type VesselValue struct {
	Vessel string
	PerL   float64
}

// Values lists what was set by kind, and for single vessels by code.
func (v *View) Values() (map[cellar.VesselKind]float64, []VesselValue) {
	ofKind, ofVessel := v.values()
	kinds := make(map[cellar.VesselKind]float64)
	for kind, perL := range ofKind {
		kinds[cellar.VesselKind(kind)] = perL
	}
	var vessels []VesselValue
	for code, perL := range ofVessel {
		vessels = append(vessels, VesselValue{code, perL})
	}
	slices.SortFunc(vessels, func(a, b VesselValue) int { return cmp.Compare(a.Vessel, b.Vessel) })
	return kinds, vessels
}

// ValuePerL is what a litre in a vessel is thought to be worth; 0: nobody said.
func (v *View) ValuePerL(code string) float64 {
	ofKind, ofVessel := v.values()
	if own, set := ofVessel[code]; set {
		return own
	}
	return ofKind[string(v.State.Vessels[code].Kind)]
}

// SetValue sets the value of a litre, of one vessel or of a kind.
func (b *Book) SetValue(id, who string, value cellar.Value) error {
	if err := cellar.CheckValue(&value); err != nil {
		return err
	}
	if value.Vessel != "" {
		code, err := b.codeOf("vessel", value.Vessel)
		if err != nil {
			return err
		}
		value.Vessel = code
	}
	_, err := b.postDesk(id, who, &value)
	return err
}

// codeOf finds a vessel by any spelling of its code.
func (b *Book) codeOf(field, written string) (string, error) {
	v, known := b.shown.Load().state.FindVessel(written)
	if !known {
		return "", &cellar.Problem{Kind: cellar.NotFound, Field: field, Value: written, Reason: "no such vessel is registered"}
	}
	return v.Code, nil
}

// postDesk writes down a fact beside the books, once for an ID.
func (b *Book) postDesk(id, who string, fact cellar.Fact) (cellar.Entry, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if old, repeated, err := b.repeated(id, fact.Kind()); repeated || err != nil {
		return old, err
	}
	return b.post(id, who, b.recordingTime(), fact)
}
