package book

import (
	"example.org/croze/internal/cellar"
)

// VesselsOf lists the vessels of a kind, or that stand in a place, or both; ""
// is any.
func (v *View) VesselsOf(kind, place string) []string {
	var codes []string
	for _, code := range v.State.VesselCodes() {
		vessel := v.State.Vessels[code]
		if (kind == "" || string(vessel.Kind) == kind) && (place == "" || vessel.PlacedAt == place) {
			codes = append(codes, code)
		}
	}
	return codes
}

// EntryBySeq finds an entry of the view by its number.
func (v *View) EntryBySeq(seq uint64) (cellar.Entry, bool) {
	if seq == 0 || seq > uint64(len(v.Entries)) {
		return cellar.Entry{}, false
	}
	return v.Entries[seq-1], true
}
