package storm

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/tidy/leaks"
)

// TestACrowd is for the race detector: readers of today, of the past and of what was
// known once, beside writers, previews and the fits in the background.
func TestACrowd(t *testing.T) {
	leaks.None(t)
	b, err := book.Open(journal.NewMemory(), book.Edge{Now: func() time.Time { return start }, NewID: func(time.Time) string { return idOf(99, 0) }})
	must(t, err)
	furnish(t, b)
	var group sync.WaitGroup
	crowd := func(n int, do func(turn int) error) {
		group.Go(func() {
			for turn := range n {
				if err := do(turn); err != nil {
					t.Error(err)
				}
			}
		})
	}
	for writer := range 3 {
		crowd(12, func(turn int) error {
			_, err := b.Record(draw(idOf(writer, turn), "hand", tanks[writer], start.Add(-time.Duration(turn%4)*time.Hour), 3))
			return err
		})
	}
	crowd(4, func(turn int) error {
		_, err := b.RegisterNewVessel(idOf(50, turn), "keeper", cellar.Vessel{Code: fmt.Sprint("NEW-", turn), Kind: cellar.Cask, CapacityL: 50})
		return err
	})
	crowd(12, func(turn int) error {
		_, _, err := b.Preview(draw(idOf(60, turn), "hand", tanks[0], start, 4).Request)
		return err
	})
	crowd(6, func(int) error { return b.Keep() })
	moments := []book.Moment{{}, {}, {On: cellar.DayOf(start) - 100}, {On: cellar.DayOf(start) - 10, Known: cellar.DayOf(start)}}
	for _, m := range moments {
		crowd(6, func(int) error { return b.See(m, readAll) })
	}
	crowd(12, func(int) error { return b.Glance(book.Moment{}, readAll) })
	group.Wait()
	b.Wait()
	sound(t, b.Journal())
}

// readAll asks a view for what the pages show.
func readAll(v *book.View) error {
	v.StockChoices()
	v.AccountLines()
	if v.Model != nil {
		v.Stock()
		v.Due()
		v.Forecast(v.On + 100)
		v.History(tanks[0])
		v.Path(tanks[1], 30)
		v.Query(book.StockQuery{})
	}
	return nil
}
