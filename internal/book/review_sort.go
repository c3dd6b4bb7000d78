package book

import (
	"cmp"
	"maps"
	"math"
	"slices"
)

// StockColumns are what the table can show and be sorted by, in the order to
// offer them in.
var StockColumns = []string{
	"code", "maker", "place", "spot", "kind", "wood", "batch", "grain", "volume", "fill", "strength", "alcohol",
	"youngest", "age", "filled", "sampled", "loss", "drift", "rate", "per_l", "value", "flags",
}

// sortKeys give a number to sort a row by; the others are sorted as text.
var sortKeys = map[string]func(r *TableRow, perL float64) float64{
	"volume":   func(r *TableRow, _ float64) float64 { return r.VolumeL },
	"fill":     func(r *TableRow, _ float64) float64 { return r.VolumeL / r.CapacityL },
	"strength": func(r *TableRow, _ float64) float64 { return r.StrengthPct },
	"alcohol":  func(r *TableRow, _ float64) float64 { return r.PureAlcoholL },
	"youngest": func(r *TableRow, _ float64) float64 { return float64(r.YoungestDays) },
	"age":      func(r *TableRow, _ float64) float64 { return float64(r.AgeDays) },
	"loss":     func(r *TableRow, _ float64) float64 { return r.LossPctPerYear },
	"drift":    func(r *TableRow, _ float64) float64 { return r.DriftPerYear },
	"rate":     func(r *TableRow, _ float64) float64 { return r.RateVsKind },
	"per_l":    func(_ *TableRow, perL float64) float64 { return perL },
	"value":    func(r *TableRow, perL float64) float64 { return perL * r.VolumeL },
	"flags":    func(r *TableRow, _ float64) float64 { return float64(len(r.Flags)) },
}

var sortTexts = map[string]func(r *TableRow) string{
	"maker": func(r *TableRow) string { return r.MakerCode },
	"place": func(r *TableRow) string { return r.Place + "\x00" + r.Spot.Row + "\x00" + r.Spot.Tier },
	"spot":  func(r *TableRow) string { return r.Spot.Row + "\x00" + r.Spot.Tier },
	"kind":  func(r *TableRow) string { return r.Kind },
	"wood":  func(r *TableRow) string { return r.Wood + "\x00" + r.WoodState },
	"batch": func(r *TableRow) string { return largestOf(r.Batches) },
	"grain": func(r *TableRow) string { return largestOf(r.Grains) },

	"filled":  func(r *TableRow) string { return r.FilledOn },
	"sampled": func(r *TableRow) string { return r.SampledOn },
}

func largestOf(shares map[string]float64) string {
	if len(shares) == 0 {
		return ""
	}
	names := slices.Sorted(maps.Keys(shares))
	return slices.MaxFunc(names, func(a, b string) int { return cmp.Compare(shares[a], shares[b]) })
}

// order returns the rows sorted; rows that sort alike stay in the order of
// their codes. What does not hang on values is kept.
func (t *table) order(q StockQuery, perL []float64) []int32 {
	key := q.Sort
	if q.Down {
		key += " down"
	}
	if known, ok := t.orders[key]; ok {
		return known
	}
	rows := everyRow(len(t.rows))
	number, byNumber := sortKeys[q.Sort]
	text, byText := sortTexts[q.Sort]
	switch {
	case byNumber:
		t.sortByNumber(rows, q.Down, func(i int32) float64 { return number(&t.rows[i], perL[i]) })
	case byText:
		sortRows(rows, q.Down, func(i int32) string { return text(&t.rows[i]) })
	case q.Down:
		slices.Reverse(rows)
	}
	if q.Sort != "per_l" && q.Sort != "value" {
		if t.orders == nil {
			t.orders = make(map[string][]int32)
		}
		t.orders[key] = rows
	}
	return rows
}

// sortByNumber has empty vessels last, whichever way the others are sorted.
func (t *table) sortByNumber(rows []int32, down bool, number func(int32) float64) {
	last := math.Inf(1)
	if down {
		last = math.Inf(-1)
	}
	sortRows(rows, down, func(i int32) float64 {
		if t.rows[i].Empty() {
			return last
		}
		return number(i)
	})
}

// sortRows works each key out once and sorts them where they lie together.
func sortRows[K cmp.Ordered](rows []int32, down bool, key func(int32) K) {
	type keyed struct {
		key K
		row int32
	}
	all := make([]keyed, len(rows))
	for i, row := range rows {
		all[i] = keyed{key(row), row}
	}
	slices.SortFunc(all, func(a, b keyed) int {
		by := cmp.Compare(a.key, b.key)
		if down {
			by = -by
		}
		return cmp.Or(by, cmp.Compare(a.row, b.row))
	})
	for i, k := range all {
		rows[i] = k.row
	}
}

// SortsDown says whether a column is looked at with its largest first.
func SortsDown(column string) bool {
	_, number := sortKeys[column]
	return number
}
