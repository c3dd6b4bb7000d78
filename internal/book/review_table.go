package book

import (
	"runtime"
	"slices"
	"strings"
	"sync"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
)

// Basis says what a row's content, strength and rates rest on.
type Basis uint8

// The bases, poorest first.
const (
	ByBooks      Basis = iota // the books, less the usual loss since the last gauge
	ByEarlierFit              // an estimate from before the whole stock was last read
	ByFit                     // the estimate
)

// TableRow is one vessel of the stock table.
type TableRow struct {
	StockLine
	Basis Basis
	Spot  cellar.Spot
	PerL  float64 // value of a litre, in the owner's money; 0: none set
	words string  // what it can be found by, in small letters
}

// Value is what the content is thought to be worth.
func (r *TableRow) Value() float64 { return r.PerL * r.VolumeL }

// Table has a row for every vessel of a view. What the books know stands in it
// at once; the estimator's figures come when a row is shown, and for all rows by
// and by in the background. It is kept from page to page: an entry costs the
// rows of its vessels only.
type Table struct {
	mu     sync.Mutex
	rows   []TableRow // by code
	index  map[string]int
	stale  map[string]bool // rows to be made again
	unread int             // rows that hold something and do not rest on the present fit
	orders map[string][]int32
}

// Table returns the view's table with every row as the books have it now.
func (v *View) Table() *Table {
	v.memo.mu.Lock()
	if v.memo.table == nil {
		v.memo.table = &Table{}
	}
	t := v.memo.table
	v.memo.mu.Unlock()
	t.mu.Lock()
	defer t.mu.Unlock()
	t.refresh(v)
	return t
}

// forget has rows made again. The caller of a nil table means none.
func (t *Table) forget(codes []string) {
	if t == nil {
		return
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	for _, code := range codes {
		if _, known := t.index[code]; !known {
			t.rows = nil // a new vessel: all of it, in its place
		}
		if t.stale == nil {
			t.stale = make(map[string]bool)
		}
		t.stale[code] = true
	}
}

// unfit says that the whole stock was read anew: every estimate is an earlier one.
func (t *Table) unfit() {
	if t == nil {
		return
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	for i := range t.rows {
		if r := &t.rows[i]; r.Basis == ByFit && !r.Empty() {
			r.Basis = ByEarlierFit
			t.unread++
		}
	}
	t.orders = nil
}

// refresh makes what is stale, or all. The caller holds the lock.
func (t *Table) refresh(v *View) {
	if t.rows == nil {
		t.build(v)
		return
	}
	if len(t.stale) == 0 {
		return
	}
	for code := range t.stale {
		t.make(v, t.index[code], code)
	}
	t.stale, t.orders = nil, nil
}

func (t *Table) build(v *View) {
	codes := v.State.VesselCodes()
	t.rows, t.index = make([]TableRow, len(codes)), make(map[string]int, len(codes))
	t.stale, t.orders, t.unread = nil, nil, 0
	for i, code := range codes {
		t.index[code] = i
	}
	inParallel(len(codes), func(i int) { t.rows[i] = v.tableRow(codes[i]) })
	for i := range t.rows {
		if t.rows[i].Basis != ByFit {
			t.unread++
		}
	}
}

// inParallel calls work for 0 to n-1 on all cores. Each call writes only what is its own.
func inParallel(n int, work func(i int)) {
	var group sync.WaitGroup
	workers := min(n, runtime.GOMAXPROCS(0))
	for w := range workers {
		group.Go(func() {
			for i := w; i < n; i += workers {
				work(i)
			}
		})
	}
	group.Wait()
}

// make writes one row as the books have it. The caller holds the lock.
func (t *Table) make(v *View, i int, code string) {
	if t.rows[i].Basis != ByFit {
		t.unread--
	}
	t.rows[i] = v.tableRow(code)
	if t.rows[i].Basis != ByFit {
		t.unread++
	}
}

// tableRow is a row as the books have it; of an empty vessel there is no more to say.
func (v *View) tableRow(code string) TableRow {
	row := TableRow{StockLine: v.bookLine(code), Spot: v.State.Vessels[code].PlacedIn}
	if row.Empty() {
		row.Basis = ByFit
	} else {
		row.byBooks(v)
	}
	row.words = row.findable()
	return row
}

// findable is everything about a row that a person may look for.
func (r *TableRow) findable() string {
	said := []string{r.Vessel, r.MakerCode, r.Kind, r.Wood, r.WoodState, r.Place, r.Spot.Row, r.Spot.Tier}
	said = append(said, r.Flags...)
	for name := range r.Batches {
		said = append(said, name)
	}
	for name := range r.Grains {
		said = append(said, name)
	}
	return strings.ToLower(strings.Join(said, "\x00"))
}

// byBooks gives a row what is likely where no estimator is at hand.
func (r *TableRow) byBooks(v *View) {
	likely := v.State.LikelyNow(r.Vessel, v.At)
	r.VolumeL, r.StrengthPct, r.PureAlcoholL = float64(likely.Volume()), float64(likely.Strength()), float64(likely.PureAlcohol())
	r.Flags = append(r.Flags, v.plainFlags(r.Vessel)...)
}

// plainFlags are those that the books alone can tell.
func (v *View) plainFlags(code string) []string {
	looks := 0
	for _, e := range slices.Backward(v.State.Vessels[code].Events) {
		if e.Filled {
			break
		}
		if e.Reading != nil || e.Content != nil {
			looks++
		}
	}
	if looks == 0 {
		return []string{loss.FlagPriorOnly}
	}
	return nil
}

// Fit gives rows the estimator's figures, where there is one.
func (t *Table) Fit(v *View, rows []int32) {
	if v.Model == nil {
		return
	}
	for _, i := range rows {
		t.mu.Lock()
		row := t.rows[i]
		t.mu.Unlock()
		if row.Basis == ByFit {
			continue
		}
		row.Flags = []string{}
		row.estimated(v.estimateOf(row.Vessel, v.State.ContentsOn(cellar.VesselAccount(row.Vessel), v.On)))
		row.Basis = ByFit
		t.mu.Lock()
		if t.rows[i].Basis != ByFit {
			t.rows[i] = row
			t.unread--
			t.orders = nil
		}
		t.mu.Unlock()
	}
}

// Unread counts the rows that do not rest on the present fit.
func (t *Table) Unread() int {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.unread
}
