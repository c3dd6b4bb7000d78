package book

import (
	"slices"
	"strings"
)

// StockQuery is what a person wants to see of the stock table. What is blank,
// nil or empty is not asked for.
type StockQuery struct {
	Find                         string // in code, maker's code, wood, place, batch, grain or flag
	Kind, Wood, WoodState, Place string
	Batch, Grain, Flag           string
	MinAge, MaxAge               *float64 // years of the youngest part
	MinStrength, MaxStrength     *float64 // % vol
	MinVolume, MaxVolume         *float64 // litres
	MinLoss                      *float64 // % a year
	Empty                        bool     // empty vessels too
	Sort                         string   // one of StockColumns; blank: code
	Down                         bool     // largest first
	Group                        string   // one of StockGroups; blank: no groups
	From, Count                  int      // rows left out, and shown; Count 0: all
}

// StockPage is what a query found.
type StockPage struct {
	Rows   []TableRow
	Found  int // rows that the query takes
	All    int // vessels registered
	Unread int // of those found, how many do not rest on the present fit
	Total  StockSum
	Groups []StockSum // largest first
}

// smallStock is up to where every row is estimated before anything is shown.
const smallStock = 400

// Query finds rows of the stock table. In a large stock it sorts and sums by
// what is known of each row at the time, and estimates only the rows shown.
func (v *View) Query(q StockQuery) (page StockPage) {
	v.withTable(func(t *table, now *View) {
		if len(t.rows) <= smallStock {
			t.estimate(now, everyRow(len(t.rows)))
		}
		found := t.find(now, q)
		shown := found.rows[min(q.From, len(found.rows)):]
		if q.Count > 0 {
			shown = shown[:min(q.Count, len(shown))]
		}
		t.estimate(now, shown)
		page = StockPage{Found: len(found.rows), All: len(found.perL), Unread: found.total.unread, Total: found.total, Groups: found.groups}
		for _, i := range shown {
			row := t.rows[i]
			row.PerL = found.perL[i]
			page.Rows = append(page.Rows, row)
		}
	})
	return page
}

func everyRow(n int) []int32 { return rowsBetween(0, n) }

func rowsBetween(from, to int) []int32 {
	rows := make([]int32, to-from)
	for i := range rows {
		rows[i] = int32(from + i)
	}
	return rows
}

// found is what a query takes of a table.
type found struct {
	rows   []int32
	perL   []float64 // of every row
	total  StockSum
	groups []StockSum
}

func (t *table) find(v *View, q StockQuery) found {
	f := found{perL: v.valuesPerL(t.rows)}
	groups := make(map[string]*StockSum)
	takes := q.filter()
	for _, i := range t.order(q, f.perL) {
		r := &t.rows[i]
		if !takes(r) {
			continue
		}
		f.rows = append(f.rows, i)
		if r.Empty() {
			f.total.Vessels++
			continue
		}
		worth := f.perL[i] * r.VolumeL
		f.total.add(r, 1, worth)
		if q.Group != "" {
			addTo(groups, stockGroups[q.Group](r), r, worth)
		}
	}
	f.total.settle()
	f.groups = sortedSums(groups)
	return f
}

// filter returns what decides on a row, cheapest questions first.
func (q *StockQuery) filter() func(*TableRow) bool {
	find := strings.ToLower(strings.TrimSpace(q.Find))
	within := func(x float64, low, high *float64) bool {
		return (low == nil || x >= *low) && (high == nil || x <= *high)
	}
	is := func(wanted, has string) bool { return wanted == "" || wanted == has }
	return func(r *TableRow) bool {
		switch {
		case !q.Empty && q.Flag != "empty" && r.Empty():
			return false
		case !is(q.Kind, r.Kind) || !is(q.Wood, r.Wood) || !is(q.WoodState, r.WoodState) || !is(q.Place, r.Place):
			return false
		case q.Batch != "" && r.Batches[q.Batch] == 0, q.Grain != "" && r.Grains[q.Grain] == 0:
			return false
		case q.Flag != "" && !slices.Contains(r.Flags, q.Flag):
			return false
		case !within(float64(r.YoungestDays)/daysPerYear, q.MinAge, q.MaxAge):
			return false
		case !within(r.StrengthPct, q.MinStrength, q.MaxStrength) || !within(r.VolumeL, q.MinVolume, q.MaxVolume):
			return false
		case !within(r.LossPctPerYear, q.MinLoss, nil):
			return false
		}
		return find == "" || strings.Contains(r.words, find)
	}
}
