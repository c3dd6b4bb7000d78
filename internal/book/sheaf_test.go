package book

import (
	"errors"
	"fmt"
	"runtime"
	"sync"
	"testing"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// gated is a journal whose next append waits until it is let go on.
type gated struct {
	*journal.Memory
	begun, let chan struct{}
	appends    [][]journal.Draft
}

func (g *gated) Append(expected journal.Head, drafts ...journal.Draft) ([]journal.Entry, error) {
	if g.begun != nil {
		close(g.begun)
		<-g.let
		g.begun = nil
	}
	g.appends = append(g.appends, drafts)
	return g.Memory.Append(expected, drafts...)
}

// noon is when these tests happen.
var noon = time.Date(2020, 1, 1, 12, 0, 0, 0, time.UTC)

func idOf(n int) string { return fmt.Sprintf("01K%023d", n) }

func openAtNoon(t *testing.T, j journal.Journal) *Book {
	t.Helper()
	ids := 0
	b, err := Open(j, Edge{Now: func() time.Time { return noon }, NewID: func(time.Time) string {
		ids++
		return fmt.Sprintf("01J%023d", ids)
	}})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// tank is a book of one tank with 90 L at 60 % vol.
func tank(t *testing.T, j journal.Journal) *Book {
	t.Helper()
	b := openAtNoon(t, j)
	litres, strength := 90.0, 60.0
	_, err := b.RegisterNewVessel("", "keeper", cellar.Vessel{Code: "TANK", Kind: cellar.Tank, CapacityL: 100})
	_, failed := b.Record(Submission{Who: "keeper", Sure: true, Request: cellar.Request{
		When: noon, Entry: "fill", Vessel: "TANK", VolumeL: &litres, StrengthPct: &strength,
	}})
	if err := errors.Join(err, failed); err != nil {
		t.Fatal(err)
	}
	return b
}

func drawOf(id string, litres float64) Submission {
	strength := 60.0
	return Submission{ID: id, Who: "hand", Sure: true, Request: cellar.Request{
		When: noon, Entry: "draw", Vessel: "TANK", VolumeL: &litres, StrengthPct: &strength,
	}}
}

// left is what a view has in the tank, in litres.
func left(v *View) float64 { return float64(v.StockLine("TANK").BookL) }

func glances(t *testing.T, b *Book, look func(*View)) {
	t.Helper()
	if err := b.Glance(Moment{}, func(v *View) error {
		look(v)
		return v.State.Check()
	}); err != nil {
		t.Error(err)
	}
}

// length is how many wait.
func (l *line) length() int {
	l.mu.Lock()
	defer l.mu.Unlock()
	return len(l.waiting)
}

// Those who wait while one writes are taken in one piece, each with an answer
// of its own: what cannot be does not hinder the others, and an ID sent twice
// is one entry.
func TestManyAreTakenInOnePiece(t *testing.T) {
	g := &gated{Memory: journal.NewMemory()}
	b := tank(t, g)
	g.begun, g.let, g.appends = make(chan struct{}), make(chan struct{}), nil
	var first, others sync.WaitGroup
	first.Go(func() { _, _ = b.Record(drawOf(idOf(0), 1)) })
	<-g.begun
	const more = 30
	entries, errs := make([]cellar.Entry, more), make([]error, more)
	for i := range more {
		litres, id := 1.0, idOf(1+i/2) // each ID twice
		if i >= more-2 {
			litres = 500 // more than there is
		}
		others.Go(func() { entries[i], errs[i] = b.Record(drawOf(id, litres)) })
	}
	for b.line.length() < more {
		runtime.Gosched()
	}
	close(g.let)
	first.Wait()
	others.Wait()
	if len(g.appends) != 2 || len(g.appends[1]) != more/2-1 {
		t.Errorf("%d appends, of %d entries the second", len(g.appends), len(g.appends[len(g.appends)-1]))
	}
	for i := 0; i < more-2; i += 2 {
		if errs[i] != nil || errs[i+1] != nil || entries[i].Seq == 0 || entries[i].Seq != entries[i+1].Seq {
			t.Errorf("%s: entries %d and %d, %v, %v", idOf(1+i/2), entries[i].Seq, entries[i+1].Seq, errs[i], errs[i+1])
		}
	}
	for _, err := range errs[more-2:] {
		if cellar.KindOf(err) != cellar.Refused {
			t.Errorf("more was drawn than there is: %v", err)
		}
	}
	glances(t, b, func(v *View) {
		if l := left(v); l < 74.99 || l > 75.01 {
			t.Errorf("%.2f L are left", l)
		}
	})
}

var errDisk = errors.New("the disk is full")

type full struct{ *journal.Memory }

func (full) Append(journal.Head, ...journal.Draft) ([]journal.Entry, error) { return nil, errDisk }

// What the journal does not take leaves nothing behind.
func TestASheafThatIsNotWrittenIsGone(t *testing.T) {
	memory := journal.NewMemory()
	b := tank(t, memory)
	b.journal = full{memory}
	if _, err := b.Record(drawOf(idOf(1), 1)); !errors.Is(err, errDisk) {
		t.Errorf("%v", err)
	}
	glances(t, b, func(v *View) {
		if l := left(v); l < 89.99 || len(v.Entries) != int(v.Head) {
			t.Errorf("%.2f L are left, %d entries at %d", l, len(v.Entries), v.Head)
		}
	})
}

// Who looks holds nobody up, and sees the book of one moment for as long as it
// takes; what it works out meanwhile is not handed to those who know more.
func TestALookIsOfOneMoment(t *testing.T) {
	b := tank(t, journal.NewMemory())
	glances(t, b, func(before *View) {
		if _, err := b.Record(drawOf(idOf(1), 40)); err != nil {
			t.Error(err)
		}
		if l := left(before); l < 89.99 {
			t.Errorf("a look from before the draw has %.2f L", l)
		}
		glances(t, b, func(after *View) {
			if l := left(after); l > 50.01 || after.Head != before.Head+1 {
				t.Errorf("a look from after the draw has %.2f L", l)
			}
			if rows := before.Query(StockQuery{}).Rows; len(rows) != 1 || rows[0].BookL > 50.01 {
				t.Errorf("the table is not the newest: %+v", rows)
			}
			if l := left(before); l < 89.99 {
				t.Errorf("a look from before the draw has %.2f L when asked again", l)
			}
		})
	})
}

// What a very large store shows before the estimator has read it rests on the books.
func TestPicturesWithoutTheEstimator(t *testing.T) {
	b := tank(t, journal.NewMemory())
	v := b.shown.Load().view(b, noon)
	if v.Model != nil {
		t.Fatal("it was read already")
	}
	years := v.AgeProfile()
	if total := years[0].Total(); total < 53.9 || total > 54.1 || years[ProfileYears].Total() < 53.9 {
		t.Errorf("%.2f L of pure alcohol now, %.2f later", total, years[ProfileYears].Total())
	}
	if lines := v.League(10); len(lines) != 0 {
		t.Errorf("nothing is to be compared: %+v", lines)
	}
	if v.UnreadRows() != 1 || v.FilledCount() != 1 || len(v.PlansWaiting()) != 0 {
		t.Errorf("%d unread of %d, %d plans", v.UnreadRows(), v.FilledCount(), len(v.PlansWaiting()))
	}
}
