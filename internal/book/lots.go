package book

import (
	"cmp"
	"slices"
	"strings"

	"example.org/croze/internal/cellar"
)

// Lots lists the bottlings, newest first.
func (v *View) Lots() []*cellar.Lot {
	lots := make([]*cellar.Lot, 0, len(v.State.Lots))
	for _, lot := range v.State.Lots {
		lots = append(lots, lot)
	}
	slices.SortFunc(lots, func(a, b *cellar.Lot) int {
		return cmp.Or(b.At.Compare(a.At), cmp.Compare(a.Name, b.Name))
	})
	return lots
}

// FindLot finds a bottling by its lot code, in capitals or not.
func (v *View) FindLot(name string) (*cellar.Lot, bool) {
	if lot, ok := v.State.Lots[name]; ok {
		return lot, true
	}
	for _, lot := range v.Lots() {
		if strings.EqualFold(lot.Name, name) {
			return lot, true
		}
	}
	return nil, false
}
