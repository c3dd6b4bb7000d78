package book

import (
	"testing"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// Logged air reaches the estimator's stock, once, and survives a replay.
func TestLoggedClimate(t *testing.T) {
	now := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	n := 0
	edge := Edge{Now: func() time.Time { return now }, NewID: func(time.Time) string {
		n++
		return "01J0000000000000000000000" + string(rune('A'+n))
	}}
	j := journal.NewMemory()
	b, err := Open(j, edge)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.RegisterPlace("", "Ash", cellar.Place{Name: "loft"}); err != nil {
		t.Fatal(err)
	}
	cold, damp := 4.5, 81.0
	log := cellar.ClimateFact{Place: "loft", Readings: []cellar.ClimateReading{{At: now.AddDate(0, -1, 0), TempC: &cold, HumidityPct: &damp}}}
	for range 2 { // a form sent twice
		if err := b.LogClimate("01J1111111111111111111111A", "Ash", log); err != nil {
			t.Fatal(err)
		}
	}
	again, err := Open(j, edge)
	if err != nil {
		t.Fatal(err)
	}
	for _, book := range []*Book{b, again} {
		places := lossStock(book.state).Places
		if len(places) != 1 || len(places[0].Log) != 1 || places[0].Log[0].TempC != cold || places[0].Log[0].HumidityPct != damp {
			t.Errorf("the estimator gets %+v", places)
		}
	}
}
