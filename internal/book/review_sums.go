package book

import (
	"cmp"
	"slices"

	"example.org/croze/internal/loss"
)

// StockSum sums rows up.
type StockSum struct {
	Name         string
	Vessels      int
	VolumeL      float64
	VolumeSDL    float64 // 0: not worked out, while rows rest on the books
	PureAlcoholL float64
	Value        float64
	MeanDays     float64 // by pure alcohol
	LossPct      float64 // a year, by volume

	spread loss.PartSum // of the volume
	unread int          // rows that do not rest on the present fit
}

// StrengthPct is that of everything together, by pure alcohol over volume.
func (s StockSum) StrengthPct() float64 {
	if s.VolumeL == 0 {
		return 0
	}
	return 100 * s.PureAlcoholL / s.VolumeL
}

// add adds a share of a row, 0 to 1, and what all of the row is worth.
func (s *StockSum) add(r *TableRow, share, worth float64) {
	volume, alcohol := share*r.VolumeL, share*r.PureAlcoholL
	s.Vessels++
	s.VolumeL += volume
	s.PureAlcoholL += alcohol
	s.Value += share * worth
	s.MeanDays += float64(r.AgeDays) * alcohol
	s.LossPct += r.LossPctPerYear * volume
	if r.Basis == ByFit {
		s.spread.Add(r.part, share)
	} else { // a part of an earlier fit may be under other draws
		s.unread++
	}
}

func (s *StockSum) settle() {
	if s.PureAlcoholL > 0 {
		s.MeanDays /= s.PureAlcoholL
	}
	if s.VolumeL > 0 {
		s.LossPct /= s.VolumeL
	}
	if s.unread == 0 {
		s.VolumeSDL = s.spread.SD()
	}
}

// stockGroups share a row out over groups, by name.
var stockGroups = map[string]func(r *TableRow) map[string]float64{
	"kind":  func(r *TableRow) map[string]float64 { return map[string]float64{r.Kind: 1} },
	"wood":  func(r *TableRow) map[string]float64 { return map[string]float64{orNone(r.Wood): 1} },
	"place": func(r *TableRow) map[string]float64 { return map[string]float64{orNone(r.Place): 1} },
	"batch": func(r *TableRow) map[string]float64 { return r.Batches },
	"grain": func(r *TableRow) map[string]float64 { return r.Grains },
	"year": func(r *TableRow) map[string]float64 {
		return map[string]float64{r.FilledOn[:min(4, len(r.FilledOn))]: 1}
	},
}

// StockGroups are what the table can be grouped by.
var StockGroups = []string{"kind", "wood", "place", "batch", "grain", "year"}

func orNone(name string) string { return cmp.Or(name, "none") }

func addTo(groups map[string]*StockSum, shares map[string]float64, r *TableRow, worth float64) {
	for name, share := range shares {
		if groups[name] == nil {
			groups[name] = &StockSum{Name: name}
		}
		groups[name].add(r, share, worth)
	}
}

func sortedSums(groups map[string]*StockSum) []StockSum {
	var sums []StockSum
	for _, s := range groups {
		s.settle()
		sums = append(sums, *s)
	}
	slices.SortFunc(sums, func(a, b StockSum) int {
		return cmp.Or(cmp.Compare(b.PureAlcoholL, a.PureAlcoholL), cmp.Compare(a.Name, b.Name))
	})
	return sums
}
