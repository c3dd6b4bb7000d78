package book_test

import (
	"math"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// A bottling of two batches that met in a cask: its ends are its parts.
func TestFlowEndsAreTheParts(t *testing.T) {
	h := newHouse(t)
	h.batch("B1", "2020-01-01", 100, 60)
	h.batch("B2", "2020-01-01", 100, 70)
	h.vessel("A", cellar.Cask, 60)
	h.vessel("T", cellar.Tank, 200)
	h.clock.on("2021-01-01")
	h.does("2020-02-01", cellar.Request{Entry: "fill", Vessel: "A", From: "B1", VolumeL: ptr(30.0)})
	h.does("2020-03-01", cellar.Request{Entry: "top_up", Vessel: "A", From: "B2", VolumeL: ptr(10.0)})
	h.does("2020-04-01", cellar.Request{Entry: "fill", Vessel: "T", From: "A", VolumeL: ptr(20.0)})
	h.does("2020-05-01", cellar.Request{Entry: "transfer", Vessel: "T", From: "B2", VolumeL: ptr(10.0)})
	h.does("2020-06-01", cellar.Request{Entry: "bottle", Vessel: "T", Lot: "L1", Bottles: []cellar.Bottles{{SizeL: 0.5, Count: 20}}})
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		lot := cellar.LotAccount("L1")
		flow := v.FlowInto(lot)
		parts, _ := v.Parts(lot)
		whole := float64(v.State.Balance(lot).PureAlcohol())
		want := make(map[cellar.Account]float64)
		for _, p := range parts { // B2 has two: with and without wood
			want[cellar.BatchAccount(p.Batch)] += p.Fraction * whole
		}
		for _, e := range flow.Ends {
			if math.Abs(e.PureAlcoholL-want[e.Account]) > 1e-3 {
				t.Errorf("from %s came %.4f L, its parts are %.4f L", e.Account, e.PureAlcoholL, want[e.Account])
			}
		}
		if len(flow.Ends) != 2 {
			t.Errorf("the ends are %+v", flow.Ends)
		}
		out := v.FlowOutOf(cellar.BatchAccount("B2"))
		sum := 0.0
		for _, e := range out.Ends {
			sum += e.PureAlcoholL
		}
		if made := float64(v.State.Batches["B2"].Made.PureAlcohol()); math.Abs(sum-made) > 1e-3 {
			t.Errorf("of %.4f L made %.4f L are found again", made, sum)
		}
		return nil
	}))
}

// On the demo every lot's flow ends in what the lot holds, and every batch is found again.
func TestFlowsOfTheDemoAddUp(t *testing.T) {
	h := demoToSee(t)
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		for name := range v.State.Lots {
			ends(t, v.FlowInto(cellar.LotAccount(name)), float64(v.State.Balance(cellar.LotAccount(name)).PureAlcohol()), name)
		}
		for _, name := range v.State.BatchNames() {
			in := 0.0
			for _, m := range v.State.Movements {
				if m.To == cellar.BatchAccount(name) {
					in += float64(m.Amount.PureAlcohol())
				}
			}
			ends(t, v.FlowOutOf(cellar.BatchAccount(name)), in, name)
		}
		return nil
	}))
}

func ends(t *testing.T, f book.Flow, want float64, name string) {
	t.Helper()
	sum := 0.0
	for _, e := range f.Ends {
		sum += e.PureAlcoholL
	}
	if math.Abs(sum-want) > 0.01+0.001*want {
		t.Errorf("%s: the ends add up to %.4f L, not %.4f", name, sum, want)
	}
}

func TestAgeProfileAddsUp(t *testing.T) {
	h := demoToSee(t)
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		years := v.AgeProfile()
		if now, want := years[0].Total(), v.Summary().Total.PureAlcoholL.Mean; math.Abs(now-want) > 0.01*want {
			t.Errorf("the profile has %.2f L now, the stock %.2f", now, want)
		}
		for i := 1; i < len(years); i++ {
			if years[i].Total() >= years[i-1].Total() || years[i].TotalPlanned() > years[i].Total()+1e-9 {
				t.Errorf("after %d years there are %.2f L (%.2f after plans), before %.2f", i, years[i].Total(), years[i].TotalPlanned(), years[i-1].Total())
			}
		}
		if years[10].Bands[0] != 0 && years[10].Bands[0] > years[0].Bands[0] {
			t.Errorf("in ten years more is young: %.2f L", years[10].Bands[0])
		}
		return nil
	}))
}

func TestPlaceMapHasEveryFilledVessel(t *testing.T) {
	h := demoHouse(t)
	code := h.glance(book.StockQuery{Kind: "cask"}).Rows[0].Vessel
	h.does("2026-11-24", cellar.Request{Entry: "move", Vessel: code, Place: "Moss Cellar", Row: "3", Tier: "2"})
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		count := 0
		for _, place := range v.PlaceMap() {
			count += place.Count
			if place.Name != "Moss Cellar" {
				continue
			}
			if cells := place.Cells["2"]["3"]; len(cells) != 1 || cells[0].Vessel != code {
				t.Errorf("in row 3, tier 2 stand %d", len(cells))
			}
		}
		if want := v.Summary().Filled; count != want {
			t.Errorf("%d on the map, %d filled", count, want)
		}
		return nil
	}))
}
