package book

import (
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

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
	part  loss.Part
	ages  []agePart
	words string // what it can be found by, in small letters
}

// Value is what the content is thought to be worth.
func (r *TableRow) Value() float64 { return r.PerL * r.VolumeL }

// table has a row for every vessel. What the books know stands in it at once;
// the estimator's figures come when a row is shown, and for all rows by and by
// in the background. It is kept from page to page: an entry costs the rows of
// its vessels only.
type table struct {
	mu     sync.Mutex   // of who uses it
	rows   []TableRow   // by code
	on     string       // the day that it is made for
	fit    uint64       // the reading of the whole stock that rows by fit rest on
	unread atomic.Int64 // rows that hold something and do not rest on that, or on that day
	orders map[string][]int32
}

// withTable hands the table over with every row as the books have it now, and
// the view that it stands for: the newest, for there is one table for all.
func (v *View) withTable(do func(*table, *View)) {
	v.memo.mu.Lock()
	if v.memo.table == nil {
		v.memo.table = &table{}
	}
	t := v.memo.table
	v.memo.mu.Unlock()
	t.mu.Lock()
	defer t.mu.Unlock()
	now, stale := v.newest()
	t.refresh(now, stale)
	do(t, now)
}

// newest is the view of the same time that knows the latest entry, and the
// vessels that changed since it was last asked for.
func (v *View) newest() (now *View, stale map[string]bool) {
	v.memo.mu.Lock()
	defer v.memo.mu.Unlock()
	if v.book == nil {
		return v, nil
	}
	stale, v.memo.stale = v.memo.stale, nil
	s, next := v.book.shown.Load(), *v
	next.State, next.Model, next.Entries, next.Head, next.turn, next.fit = s.state, s.model, s.entries, s.head.Seq, s.turn, s.fit
	return &next, stale
}

// refresh makes the rows that changed, and says of those of an earlier day or
// an earlier reading of the stock that they are.
func (t *table) refresh(v *View, stale map[string]bool) {
	for code := range stale {
		t.make(v, code)
	}
	if len(t.rows) != len(v.State.Vessels) {
		t.build(v)
	}
	if len(stale) > 0 {
		t.orders = nil
	}
	if on := v.On.String(); t.on != on || t.fit != v.fit {
		t.on, t.fit, t.orders = on, v.fit, nil
		for i := range t.rows {
			r := &t.rows[i]
			if r.Basis == ByFit && !r.Empty() {
				r.Basis = ByEarlierFit
			}
		}
		t.unread.Store(t.unreadOf(everyRow(len(t.rows))))
	}
}

func (r *TableRow) unread() int64 {
	if r.Basis == ByFit {
		return 0
	}
	return 1
}

func (t *table) build(v *View) {
	codes := v.State.VesselCodes()
	t.rows, t.orders = make([]TableRow, len(codes)), nil
	inParallel(len(codes), func(i int) { t.rows[i] = v.tableRow(codes[i]) })
	t.unread.Store(t.unreadOf(everyRow(len(codes))))
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

// make writes the row of a vessel as the books have it, a new one in its place.
func (t *table) make(v *View, code string) {
	if len(t.rows) == 0 || v.State.Vessels[code] == nil {
		return
	}
	i, there := slices.BinarySearchFunc(t.rows, code, func(r TableRow, code string) int { return strings.Compare(r.Vessel, code) })
	row := v.tableRow(code)
	if there {
		t.unread.Add(-t.rows[i].unread())
		t.rows[i] = row
	} else {
		t.rows = slices.Insert(t.rows, i, row)
	}
	t.unread.Add(row.unread())
}

// tableRow is a row as the books have it; of an empty vessel there is no more to say.
func (v *View) tableRow(code string) TableRow {
	line, contents := v.bookLine(code)
	row := TableRow{StockLine: line, Spot: v.State.Vessels[code].PlacedIn, ages: agePartsOf(contents)}
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

// estimate gives rows the estimator's figures of the day, where there is one.
func (t *table) estimate(v *View, rows []int32) {
	if v.Model == nil {
		return
	}
	before := t.unreadOf(rows)
	inParallel(len(rows), func(k int) {
		row := &t.rows[rows[k]]
		if row.On != t.on {
			*row = v.tableRow(row.Vessel)
		}
		if row.Basis == ByFit {
			return
		}
		row.Flags = []string{}
		state, part, known := v.Model.StateWithPart(row.Vessel, dayNumber(v.At))
		if !known {
			state = v.estimateOf(row.Vessel, v.State.ContentsOn(cellar.VesselAccount(row.Vessel), v.On))
		}
		row.part = part
		row.estimated(state)
		row.Basis = ByFit
	})
	if before > 0 {
		t.unread.Add(t.unreadOf(rows) - before)
		t.orders = nil
	}
}

func (t *table) unreadOf(rows []int32) (n int64) {
	for _, i := range rows {
		n += t.rows[i].unread()
	}
	return n
}
