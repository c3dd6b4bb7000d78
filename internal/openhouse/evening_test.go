package openhouse

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

var anyDay = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

// filled is the house on a day, with its entries.
func filled(t *testing.T, today time.Time) *book.Book {
	t.Helper()
	n := 0
	newID := func(time.Time) string { n++; return fmt.Sprintf("01J%023d", n) }
	j := journal.NewMemory()
	if err := Fill(j, 7, today, newID); err != nil {
		t.Fatalf("on %s: %v", today, err)
	}
	b, err := book.Open(j, book.Edge{Now: func() time.Time { return today }, NewID: newID})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(b.Wait)
	return b
}

// What the program can do is to be seen in its demo.
func TestTheHouseShowsEverything(t *testing.T) {
	b := filled(t, anyDay)
	err := b.See(book.Moment{}, func(v *book.View) error {
		kinds := make(map[string]int)
		for _, e := range v.Entries {
			kinds[e.Fact.Kind()]++
		}
		for _, kind := range []string{
			"fill", "top_up", "transfer", "sample", "draw", "spill", "reduce", "blend", "bottle", "empty", "move", "note", "void", "rinse",
			"aim", "relabel", "value", "cost", "instrument", "close", "limit", "plan", "place", "vessel", "batch", "round", "rhythm",
			"tasting_plan", "tasting_answers", "trial", "warm_trial",
		} {
			if kinds[kind] == 0 {
				t.Errorf("the house has no entry of the kind %s", kind)
			}
		}
		if kinds["instrument"] < 2 {
			t.Error("no instrument was sent away again")
		}
		standings := make(map[book.Standing]int)
		for _, r := range v.Readiness() {
			standings[r.Standing]++
		}
		for _, s := range []book.Standing{book.Past, book.Ready, book.Nearly, book.NotYet} {
			if standings[s] == 0 {
				t.Errorf("no vessel is %q: %v", s, standings)
			}
		}
		if len(v.PlansWaiting()) != 1 || len(v.Rounds()) != 1 || len(v.State.Closings) != 1 {
			t.Errorf("%d plans wait, %d rounds, %d periods closed", len(v.PlansWaiting()), len(v.Rounds()), len(v.State.Closings))
		}
		found := false
		for _, line := range v.Stock() {
			found = found || strings.Contains(strings.Join(line.Flags, " "), "leak")
		}
		if !found {
			t.Error("the leak is not found")
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// The evening comes off on any day of the year, its first and its last too.
func TestAnyDay(t *testing.T) {
	for _, today := range []time.Time{
		time.Date(2027, 1, 1, 0, 20, 0, 0, time.FixedZone("", 14*3600)), time.Date(2026, 7, 1, 23, 50, 0, 0, time.FixedZone("", -11*3600)),
	} {
		b := filled(t, today)
		err := b.Glance(book.Moment{}, func(v *book.View) error {
			for _, e := range v.Entries {
				if e.RecordedAt.After(today) || e.HappenedAt.After(today) {
					t.Errorf("on %s: entry %d, a %s, lies in the future", today, e.Seq, e.Fact.Kind())
				}
			}
			if c := v.State.Closings[0]; c.To != cellar.Date(today.AddDate(0, 0, -daysAgo).Year()-1, time.December, 31) {
				t.Errorf("on %s the year to %s is closed", today, c.To)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}
