package book

import (
	"cmp"
	"slices"
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
}

// StrengthPct is that of everything together, by pure alcohol over volume.
func (s StockSum) StrengthPct() float64 {
	if s.VolumeL == 0 {
		return 0
	}
	return 100 * s.PureAlcoholL / s.VolumeL
}

func (s *StockSum) add(r *TableRow, value float64) {
	s.Vessels++
	s.VolumeL += r.VolumeL
	s.PureAlcoholL += r.PureAlcoholL
	s.Value += value
	s.MeanDays += float64(r.AgeDays) * r.PureAlcoholL
	s.LossPct += r.LossPctPerYear * r.VolumeL
}

func (s *StockSum) settle() {
	if s.PureAlcoholL > 0 {
		s.MeanDays /= s.PureAlcoholL
	}
	if s.VolumeL > 0 {
		s.LossPct /= s.VolumeL
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

func addTo(groups map[string]*StockSum, shares map[string]float64, r *TableRow, value float64) {
	for name, share := range shares {
		if groups[name] == nil {
			groups[name] = &StockSum{Name: name}
		}
		part := *r
		part.VolumeL *= share
		part.PureAlcoholL *= share
		groups[name].add(&part, value*share)
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
