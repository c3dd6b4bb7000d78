package storm

import (
	"fmt"
	"os"
	"strconv"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/spirit"
)

// start is when every story here begins.
var start = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

// tanks hold 100 litres at 60 % vol each when a story begins.
var tanks = []string{"TANK-A", "TANK-B", "TANK-C"}

// longRun is how many times as long random tests run: more with CROZE_LONG=1.
func longRun() int {
	if os.Getenv("CROZE_LONG") == "1" {
		return 20
	}
	return 1
}

// seedOfRun returns a seed that the log of a failed test shows; CROZE_SEED
// plays one again.
func seedOfRun(t *testing.T) uint64 {
	t.Helper()
	seed := uint64(time.Now().UnixNano())
	if given := os.Getenv("CROZE_SEED"); given != "" {
		var err error
		if seed, err = strconv.ParseUint(given, 10, 64); err != nil {
			t.Fatalf("CROZE_SEED: %v", err)
		}
	}
	t.Logf("CROZE_SEED=%d", seed)
	return seed
}

// idOf is the ULID of number n of a client.
func idOf(client, n int) string { return fmt.Sprintf("01J%010d%013d", client, n) }

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func number(x float64) *float64 { return &x }

// furnish registers the tanks and fills them.
func furnish(t testing.TB, b *book.Book) {
	t.Helper()
	made := cellar.Batch{Name: "RYE", MadeOn: cellar.DayOf(start) - 400, VolumeL: 1000, StrengthPct: 60}
	must(t, b.RegisterNewBatch(idOf(90, 1), "keeper", made, nil))
	for i, code := range tanks {
		_, err := b.RegisterNewVessel(idOf(91, i), "keeper", cellar.Vessel{Code: code, Kind: cellar.Tank, CapacityL: spirit.Litres(200)})
		must(t, err)
		_, err = b.Record(book.Submission{ID: idOf(92, i), Who: "keeper", Sure: true, Request: cellar.Request{
			When: start.AddDate(0, 0, -300), Entry: "fill", Vessel: code, From: "RYE", VolumeL: number(100), StrengthPct: number(60),
		}})
		must(t, err)
	}
}

// draw takes some millilitres out of a tank.
func draw(id, who, code string, when time.Time, ml int) book.Submission {
	return book.Submission{ID: id, Who: who, Sure: true, Request: cellar.Request{
		When: when, Entry: "draw", Vessel: code, VolumeL: number(float64(ml) / 1000), StrengthPct: number(60),
	}}
}

// takeBack voids an entry.
func takeBack(id, who, entry string, when time.Time) book.Submission {
	return book.Submission{ID: id, Who: who, Sure: true, Request: cellar.Request{When: when, Entry: "void", Void: entry}}
}

// sound checks a journal from end to end.
func sound(t *testing.T, j journal.Journal) {
	t.Helper()
	f, err := book.Verify(j)
	must(t, err)
	if f.Problem != "" {
		t.Errorf("the journal does not hold: %s", f.Problem)
	}
}
