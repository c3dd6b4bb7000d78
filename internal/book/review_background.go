package book

import "sync/atomic"

// tabling says whether the stock table is being filled in the background.
type tabling struct{ running atomic.Bool }

// filledAtOnce is how many rows are estimated before others get their turn.
const filledAtOnce = 16

// Prepare makes what the first page needs, and has the estimator begin to read
// the stock in the background.
func (b *Book) Prepare() {
	_ = b.Glance(Moment{}, func(v *View) error { // which begins it
		v.withTable(func(*table, *View) {})
		return nil
	})
}

// keepTable fills the table of a large stock in the background, so that it can
// be sorted and summed by what the estimator says. A small one is filled when
// it is shown.
func (b *Book) keepTable() {
	s := b.shown.Load()
	if len(s.state.Vessels) > smallStock && s.model != nil && b.tabled.running.CompareAndSwap(false, true) {
		b.fits.Go(b.fillTable)
	}
}

// resumeTable goes on with a table that entries or a new day have left unread.
func (b *Book) resumeTable() {
	if b.memo.unreadRows() {
		b.keepTable()
	}
}

func (b *Book) fillTable() {
	defer b.tabled.running.Store(false)
	for from, more := 0, true; more; from += filledAtOnce {
		b.giveWay()
		more = b.shown.Load().view(b, b.edge.Now()).fillTable(from)
	}
	b.foresee()
}

// UnreadRows counts the vessels of the stock table that do not rest on the
// present estimate.
func (v *View) UnreadRows() (n int) {
	v.withTable(func(t *table, _ *View) { n = int(t.unread.Load()) })
	return n
}

// foresee works out what Today says of each vessel, so that the first to open
// it need not.
func (b *Book) foresee() {
	v := b.shown.Load().view(b, b.edge.Now())
	if v.Model == nil {
		return
	}
	for _, code := range v.State.VesselCodes() {
		if b.giveWay(); b.shown.Load().fit != v.fit {
			return // it is read anew
		}
		if !v.State.IsEmpty(code) {
			v.laterStrength(code)
			v.sampleWorth(code)
			v.shareOf(code)
		}
	}
}

// fillTable gives some rows their estimates, and says whether there are more.
func (v *View) fillTable(from int) (more bool) {
	v.withTable(func(t *table, now *View) {
		to := min(from+filledAtOnce, len(t.rows))
		if more = now.Model != nil && from < to; more {
			t.estimate(now, rowsBetween(from, to))
		}
	})
	return more
}
