package main

import (
	"bytes"
	"crypto/rand"
	"math"
	"testing"
	"time"

	"github.com/oklog/ulid/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/demo"
	"example.org/croze/internal/exchange"
	"example.org/croze/internal/journal"
)

var edge = book.Edge{Now: june, NewID: func(t time.Time) string {
	return ulid.MustNew(ulid.Timestamp(t), rand.Reader).String()
}}

// replayed reads a journal and folds it.
func replayed(t *testing.T, j journal.Journal) ([]cellar.Entry, *cellar.State) {
	t.Helper()
	var entries []cellar.Entry
	err := j.Read(1, func(e journal.Entry) error {
		fact, err := cellar.DecodeFact(e.Kind, e.Body)
		entries = append(entries, cellar.Entry{
			Seq: e.Seq, ID: e.ID, RecordedAt: e.RecordedAt, HappenedAt: e.HappenedAt, Who: e.Who, Fact: fact,
		})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	state, err := cellar.Fold(entries, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	return entries, state
}

// TestDemoThroughFiles writes years of the invented store out as the four
// files and imports them into another book: every vessel holds the same.
func TestDemoThroughFiles(t *testing.T) {
	story, err := demo.Tell(demoSeed, june())
	if err != nil {
		t.Fatal(err)
	}
	j := journal.NewMemory()
	if err := story.Write(j, edge.NewID); err != nil {
		t.Fatal(err)
	}
	entries, before := replayed(t, j)
	r := exchange.RegisterOf(before, entries)
	var files [4]bytes.Buffer
	for i, write := range []func() error{
		func() error { return exchange.WriteVessels(&files[0], r.Vessels) },
		func() error { return exchange.WritePlaces(&files[1], r.Places) },
		func() error { return exchange.WriteBatches(&files[2], r.Batches) },
		func() error { return exchange.WriteEntries(&files[3], r.Entries) },
	} {
		if err := write(); err != nil {
			t.Fatalf("file %d: %v", i, err)
		}
	}
	set, err := exchange.Read(exchange.Files{
		Vessels: &exchange.File{Name: "vessels.csv", Data: &files[0]}, Places: &exchange.File{Name: "places.csv", Data: &files[1]},
		Batches: &exchange.File{Name: "batches.csv", Data: &files[2]}, Entries: &exchange.File{Name: "entries.csv", Data: &files[3]},
	}, june())
	if err != nil {
		t.Fatal(err)
	}
	again := journal.NewMemory()
	b, err := book.Open(again, edge)
	if err != nil {
		t.Fatal(err)
	}
	report, err := b.Import("test", set, false)
	if err != nil || len(report.Problems) > 0 {
		for _, p := range report.Problems {
			t.Log(p)
		}
		t.Fatalf("%d problems, %v", len(report.Problems), err)
	}
	_, after := replayed(t, again)
	compareBooks(t, before, after)
}

// compareBooks holds every vessel to the same contents and age. Amounts are
// worked out anew from volumes and strengths, so they may differ by a gram.
func compareBooks(t *testing.T, want, got *cellar.State) {
	t.Helper()
	const gram = 1000
	on := cellar.DayOf(june())
	for _, code := range want.VesselCodes() {
		a := cellar.VesselAccount(code)
		difference := want.Balance(a).Sub(got.Balance(a))
		if math.Abs(float64(difference.EthanolMg)) > gram || math.Abs(float64(difference.WaterMg)) > gram {
			t.Errorf("%s holds %v, want %v", code, got.Balance(a), want.Balance(a))
		}
		if w, g := want.AgesOn(a, on), got.AgesOn(a, on); w.Youngest != g.Youngest || w.Oldest != g.Oldest {
			t.Errorf("%s is %+v days old, want %+v", code, g, w)
		}
	}
}
