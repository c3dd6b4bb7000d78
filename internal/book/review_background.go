package book

import "sync/atomic"

// tabling says whether the stock table is being filled in the background.
type tabling struct{ running atomic.Bool }

// filledAtOnce is how many rows are estimated before others get their turn.
const filledAtOnce = 100

// keepTable fills the table of a large stock in the background, so that it can
// be sorted and summed by what the estimator says. A small one is filled when
// it is shown.
func (b *Book) keepTable() {
	if len(b.state.Vessels) > smallStock && b.tabled.running.CompareAndSwap(false, true) {
		b.fits.Go(b.fillTable)
	}
}

// resumeTable goes on with a table that entries or a new day have left unread.
func (b *Book) resumeTable() {
	b.mu.RLock()
	defer b.mu.RUnlock()
	b.memo.mu.Lock()
	t := b.memo.table
	b.memo.mu.Unlock()
	if b.model != nil && t != nil && t.Unread() > 0 {
		b.keepTable()
	}
}

func (b *Book) fillTable() {
	defer b.tabled.running.Store(false)
	for from := 0; ; from += filledAtOnce {
		more := false
		err := b.lookNow(b.edge.Now(), func(v *View) error {
			t := v.Table()
			more = v.Model != nil && from < len(t.rows)
			if more {
				t.Fit(v, rowsBetween(from, min(from+filledAtOnce, len(t.rows))))
			}
			return nil
		})
		if err != nil || !more {
			return
		}
	}
}
