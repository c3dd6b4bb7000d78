package book_test

import (
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

func (h *house) changed(e cellar.Entry) (rewrites bool, changes map[cellar.Account]book.AccountChange) {
	h.t.Helper()
	changes = make(map[cellar.Account]book.AccountChange)
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		rewrites = v.Rewrites(e)
		list, err := v.WhatItChanged(e)
		for _, c := range list {
			changes[c.Account] = c
		}
		return err
	}))
	return rewrites, changes
}

// A late draw before a gauge does not change what the gauge found: the angels
// have the less of it.
func TestWhatALateEntryChanged(t *testing.T) {
	h := yearOfACask(t)
	e := h.does("2020-03-01", cellar.Request{Entry: "draw", Vessel: "OAK-1", VolumeL: ptr(1.0), StrengthPct: ptr(60.0)})
	rewrites, changes := h.changed(e)
	if !rewrites {
		t.Error("a late entry rewrites nothing")
	}
	drawn := changes[cellar.Drawn].Difference()
	if got := drawn.PureAlcohol(); got < 0.599 || got > 0.601 {
		t.Errorf("drawn changed by %v", drawn)
	}
	sum := drawn
	for _, a := range []cellar.Account{cellar.Angels, cellar.IndrinkAccount("OAK-1")} {
		sum = sum.Add(changes[a].Difference())
	}
	if _, there := changes[cellar.VesselAccount("OAK-1")]; there || !sum.IsZero() {
		t.Errorf("changed are %+v; with the losses %v is left over", changes, sum)
	}
	void := h.does("2021-02-01", cellar.Request{Entry: "void", Void: e.ID, Note: "slip"})
	_, undone := h.changed(void)
	if len(undone) != len(changes) {
		t.Errorf("taking it back changed %+v", undone)
	}
	for a, c := range changes {
		if undone[a].Before != c.After || undone[a].After != c.Before {
			t.Errorf("%s: %+v, and taken back %+v", a, c, undone[a])
		}
	}
}

func TestWhatAnEntryInItsTurnChanged(t *testing.T) {
	h := yearOfACask(t)
	e := h.does("2021-01-31", cellar.Request{Entry: "draw", Vessel: "TUN-1", VolumeL: ptr(1.0), StrengthPct: ptr(50.0)})
	rewrites, changes := h.changed(e)
	if rewrites || len(changes) != 2 || changes[cellar.VesselAccount("TUN-1")].Difference() != changes[cellar.Drawn].Difference().Neg() {
		t.Errorf("rewrites %v; changed are %+v", rewrites, changes)
	}
}

func TestAccountNames(t *testing.T) {
	for a, want := range map[cellar.Account]string{
		cellar.VesselAccount("RYE-1"): "Vessel RYE-1", cellar.BatchAccount("rye 1"): "Batch rye 1", cellar.LotAccount("L1"): "Lot L1",
		cellar.IndrinkAccount("RYE-1"): "Wood of RYE-1", cellar.Drawn: "Drawn", cellar.Angels: "Evaporated, found by gauging", "odd": "odd",
	} {
		if got := book.AccountName(a); got != want {
			t.Errorf("%s is called %q, want %q", a, got, want)
		}
	}
}
