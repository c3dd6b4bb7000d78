package book_test

import (
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// coldAndWarm has two like casks in a cold damp cellar, filled on the same day.
func coldAndWarm(t *testing.T) *house {
	h := newHouse(t)
	for name, air := range map[string][2]float64{"loft": {9, 85}, "attic": {22, 50}} {
		h.must(h.RegisterPlace("", "keeper", cellar.Place{Name: name, TempC: &air[0], HumidityPct: &air[1]}))
	}
	h.batch("rye 1", "2020-01-01", 100, 60)
	for _, code := range []string{"STAYS", "GOES"} {
		h.vessel(code, cellar.Cask, 50)
		h.does("2020-01-01", cellar.Request{Entry: "fill", Vessel: code, From: "rye 1", VolumeL: ptr(48.0), StrengthPct: ptr(60.0)})
	}
	h.clock.on("2021-06-01")
	return h
}

func (h *house) lossPctPerYear(code, on string) float64 {
	h.t.Helper()
	day, err := cellar.ParseDay(on)
	h.must(err)
	var loss float64
	h.must(h.See(book.Moment{On: day}, func(v *book.View) error {
		loss = v.StockLine(code).LossPctPerYear
		return nil
	}))
	return loss
}

// A move that is written down late counts from the day it happened, at once in
// the running book; taken back, it never was.
func TestTheEstimateFollowsAMove(t *testing.T) {
	h := coldAndWarm(t)
	stays := h.lossPctPerYear("STAYS", "2021-06-01")
	h.clock.on("2021-06-02")
	move := h.does("2021-01-01", cellar.Request{Entry: "move", Vessel: "GOES", Place: "attic"})

	if before, like := h.lossPctPerYear("GOES", "2020-12-01"), h.lossPctPerYear("STAYS", "2020-12-01"); before != like {
		t.Errorf("before the move it loses %.4f %% a year and its like %.4f %%", before, like)
	}
	after := h.lossPctPerYear("GOES", "2021-06-02")
	if after < 1.3*stays {
		t.Errorf("in the warm it loses %.3f %% a year, in the cold %.3f %%: the move is not reckoned with", after, stays)
	}
	h.clock.on("2021-06-03")
	h.does("2021-06-03", cellar.Request{Entry: "void", Void: move.ID, Note: "it was the other one"})
	if back, like := h.lossPctPerYear("GOES", "2021-06-03"), h.lossPctPerYear("STAYS", "2021-06-03"); back != like {
		t.Errorf("after the move was taken back it loses %.4f %% a year and its like %.4f %%", back, like)
	}
}
