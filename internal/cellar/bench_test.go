package cellar

import (
	"fmt"
	"testing"
	"time"

	"example.org/croze/internal/spirit"
)

// longHistory is a store of 400 vessels with n entries: fills, samples with
// full gauges, draws, top-ups from younger spirit, and a few blends.
func longHistory(n int) []Entry {
	amount := func(v spirit.Litres, q spirit.Strength) Measure {
		a, err := spirit.AmountOf(v, q)
		if err != nil {
			panic(err)
		}
		return Measure{Amount: a, VolumeL: v, StrengthPct: q, Basis: Measured}
	}
	var entries []Entry
	at := time.Date(2000, 1, 1, 8, 0, 0, 0, time.UTC)
	add := func(f Fact) {
		at = at.Add(time.Hour)
		seq := len(entries) + 1
		entries = append(entries, Entry{Seq: uint64(seq), ID: idOf(seq), HappenedAt: at, RecordedAt: at, Who: "Ash", Fact: f})
	}
	const vessels = 400
	for i := range vessels {
		add(&VesselFact{Vessel{Code: fmt.Sprintf("V%03d", i), Kind: VesselKinds[i%3], CapacityL: 200, Wood: "oak", WoodState: UsedWood}})
	}
	fill := func(i int) {
		batch := fmt.Sprintf("run %d", len(entries))
		add(&BatchFact{Batch: Batch{Name: batch, MadeOn: DayOf(at), StrengthPct: 63}})
		add(&Fill{Pour{Vessel: fmt.Sprintf("V%03d", i), From: BatchAccount(batch), Measure: amount(180, 63)}})
	}
	for i := range vessels {
		fill(i)
	}
	for i := 0; len(entries) < n; i++ {
		code := fmt.Sprintf("V%03d", i*7%vessels)
		switch i % 9 {
		case 0, 1, 2, 3:
			add(&Sample{Vessel: code, Reading: &Reading{StrengthPct: 62}, Taken: ptr(amount(0.05, 62))})
		case 4, 5:
			add(&Draw{Vessel: code, Measure: amount(0.02, 62)})
		case 6:
			// One cask in twenty is kept to top up the others.
			if from := fmt.Sprintf("V%03d", i*7%vessels/20*20); from != code {
				add(&TopUp{Pour{Vessel: code, From: VesselAccount(from), Measure: amount(0.05, 62)}})
			}
		case 7:
			add(&Note{About: VesselAccount(code), Note: "sound"})
		case 8:
			if i%90 == 8 {
				add(&Empty{Vessel: code})
				fill(i * 7 % vessels)
			} else {
				add(&Sample{Vessel: code, Reading: &Reading{StrengthPct: 62}, Content: &Content{VolumeL: 170}})
			}
		}
	}
	return entries[:n]
}

func BenchmarkFold(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000} {
		entries := longHistory(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Fold(entries, time.Time{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// One more entry to a long history.
func BenchmarkExtend(b *testing.B) {
	entries := longHistory(100_000)
	s, err := Fold(entries, time.Time{})
	if err != nil {
		b.Fatal(err)
	}
	e := entries[len(entries)-1]
	e.Fact = &Sample{Vessel: "V000", Reading: &Reading{StrengthPct: 62}}
	b.ReportAllocs()
	for b.Loop() {
		e.Seq, e.HappenedAt = e.Seq+1, e.HappenedAt.Add(time.Minute)
		if err := s.Extend(e); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkStateCheck(b *testing.B) {
	s, err := Fold(longHistory(100_000), time.Time{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := s.Check(); err != nil {
			b.Fatal(err)
		}
	}
}

// A copy, which every entry costs while others may be looking.
func BenchmarkCopy(b *testing.B) {
	a, err := spirit.AmountOf(180, 63)
	if err != nil {
		b.Fatal(err)
	}
	for _, vessels := range []int{50, 1000, 100_000} {
		s, at := NewState(), time.Date(2020, 1, 1, 8, 0, 0, 0, time.UTC)
		for i := range vessels {
			code, e := fmt.Sprint("V", i), Entry{HappenedAt: at, RecordedAt: at, Who: "Ash"}
			e.Fact = &VesselFact{Vessel{Code: code, Kind: Cask, CapacityL: 200}}
			if err := s.Define(e); err != nil {
				b.Fatal(err)
			}
			e.Fact = &Fill{Pour{Vessel: code, From: BatchAccount(code + " 2020-01-01"), Measure: Measure{Amount: a, VolumeL: 180, StrengthPct: 63, Basis: Measured}}}
			if err := s.Apply(e); err != nil {
				b.Fatal(err)
			}
		}
		b.Run(fmt.Sprint(vessels), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				s.Copy()
			}
		})
	}
}
