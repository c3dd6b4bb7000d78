package demo

import (
	"math"
	"reflect"
	"testing"
	"time"

	"example.org/croze/internal/cellar"
)

func TestEveryEntryIsAccepted(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	state, _, questions := replay(t, s, anyDay())
	if err := state.Check(); err != nil {
		t.Error(err)
	}
	if err := folded(t, s, anyDay()).Check(); err != nil {
		t.Error(err)
	}
	if n := len(s.Entries); n < 1000 || n > 1500 {
		t.Errorf("%d entries, want 1000 to 1500", n)
	}
	if n := len(s.Vessels); n < 40 || n > 50 {
		t.Errorf("%d vessels, want 40 to 50", n)
	}
	for _, q := range questions {
		t.Logf("%s %s: %s", q.told.Request.Entry, q.told.Request.When.Format(time.DateOnly), q.question.Text)
	}
}
func TestDump(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	state := folded(t, s, anyDay())
	for _, v := range s.Vessels {
		l, q := s.Truth(v.Code)
		b := state.Balance(cellar.VesselAccount(v.Code))
		t.Logf("%s %-7s %4.0f %-11s %-4s %-11s true %6.2f L %5.2f %%  book %6.2f L %5.2f %% %+.1f%%", v.Code, v.Kind, v.CapacityL, v.Wood, v.WoodState, state.Vessels[v.Code].PlacedAt, l, q, b.Volume(), b.Strength(), 100*(float64(b.Volume())/l-1))
	}
	for _, e := range state.Vessels[s.Leaking].Events {
		if e.Content != nil { t.Log(e.Entry.Day(), e.Content.VolumeL, e.Reading.StrengthPct) }
	}
	for n, l := range state.Lots { t.Log(n, *l, state.Balance(cellar.LotAccount(n)).Volume()) }
	for _, b := range s.Batches { t.Log(b.Name, b.MadeOn, b.CarriedIn, state.Balance(cellar.BatchAccount(b.Name))) }
	k := map[string]int{}
	for _, e := range s.Entries { k[e.Request.Entry]++ }
	t.Log(k)
}
func TestNothing(t *testing.T) { _ = math.Pi; _ = reflect.DeepEqual }
