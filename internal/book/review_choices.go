package book

import (
	"maps"
	"slices"
)

// StockChoices are what the stock can be narrowed down to, each sorted.
type StockChoices struct{ Woods, Places, Batches, Grains, Flags []string }

// StockChoices lists what there is to choose from.
func (v *View) StockChoices() StockChoices {
	return remember(v, "", "choices", func() StockChoices {
		woods, flags := make(map[string]bool), map[string]bool{"leak_suspected": true, "outlier_reading": true, "unrecorded_loss": true}
		grains := make(map[string]bool)
		for _, batch := range v.State.Batches {
			for name := range batch.Grains {
				grains[v.State.GrainSpelling(name)] = true
			}
		}
		v.withTable(func(t *table, _ *View) {
			for i := range t.rows {
				r := &t.rows[i]
				if r.Wood != "" {
					woods[r.Wood] = true
				}
				for _, flag := range r.Flags {
					flags[flag] = true
				}
			}
		})
		return StockChoices{
			Woods: sortedNames(woods), Places: v.PlaceNames(), Batches: v.State.BatchNames(), Grains: sortedNames(grains), Flags: sortedNames(flags),
		}
	})
}

func sortedNames(names map[string]bool) []string { return slices.Sorted(maps.Keys(names)) }
