package cellar

import (
	"fmt"
	"math/big"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func someParts() *rapid.Generator[[]Part] {
	return rapid.Custom(func(t *rapid.T) []Part {
		n := rapid.IntRange(1, 60).Draw(t, "n")
		parts := make([]Part, 0, n)
		for i := range n {
			parts = append(parts, Part{
				Batch:     fmt.Sprintf("batch %02d", rapid.IntRange(0, 7).Draw(t, "batch")),
				FirstWood: Day(rapid.IntRange(10000, 10100).Draw(t, "first")),
				Wood:      []WoodTime{{"oak, used", rapid.IntRange(0, 900).Draw(t, "days")}},
				EthanolMg: rapid.Int64Range(1, 1<<rapid.IntRange(0, 50).Draw(t, "bits")).Draw(t, fmt.Sprint("mg", i)),
			})
		}
		return joined(parts, nil)
	})
}

// Shares are exact to the milligram: they add up, none is further than one
// milligram from its due, and none of a draw is more than there was.
func TestShareOutIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := someParts().Draw(t, "parts")
		whole := sumParts(parts)
		total := rapid.Int64Range(0, 2*whole).Draw(t, "total")
		before := slices.Clone(parts)
		out := shareOut(parts, total)
		if sumParts(out) != total {
			t.Fatalf("shares of %d add up to %d", total, sumParts(out))
		}
		for i, p := range out {
			due := new(big.Rat).SetFrac(
				new(big.Int).Mul(big.NewInt(parts[i].EthanolMg), big.NewInt(total)), big.NewInt(whole))
			off := due.Sub(due, new(big.Rat).SetInt64(p.EthanolMg))
			if off.Abs(off).Cmp(big.NewRat(1, 1)) >= 0 {
				t.Fatalf("part %d is off by %s mg", i, off.FloatString(3))
			}
			if total <= whole && p.EthanolMg > parts[i].EthanolMg {
				t.Fatalf("part %d gives %d mg of %d", i, p.EthanolMg, parts[i].EthanolMg)
			}
		}
		if !reflect.DeepEqual(parts, before) {
			t.Fatal("the parts given were changed")
		}
	})
}

// Joining keeps every milligram of every batch, stays within MostParts where a
// batch can be joined, and never makes the youngest part older.
func TestJoinedKeepsBatchesAndYouth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := someParts().Draw(t, "a"), someParts().Draw(t, "b")
		beforeA, beforeB := slices.Clone(a), slices.Clone(b)
		out := joined(a, b)
		if !reflect.DeepEqual(a, beforeA) || !reflect.DeepEqual(b, beforeB) {
			t.Fatal("the parts given were changed")
		}
		if len(out) > MostParts {
			t.Fatalf("%d parts", len(out))
		}
		if got, want := ethanolByBatch(out), ethanolByBatch(slices.Concat(a, b)); !reflect.DeepEqual(got, want) {
			t.Fatalf("batches hold %v, want %v", got, want)
		}
		if got, most := agesOf(out, 20000).Youngest, agesOf(slices.Concat(a, b), 20000).Youngest; got > most {
			t.Fatalf("the youngest part is %d days old, was %d", got, most)
		}
	})
}

func ethanolByBatch(parts []Part) map[string]int64 {
	sums := make(map[string]int64)
	for _, p := range parts {
		sums[p.Batch] += p.EthanolMg
	}
	return sums
}

// Of two parts that are joined the younger days count, and the later first
// day; the smallest are joined first, and only within a batch.
func TestTheSmallestPartIsJoined(t *testing.T) {
	var parts []Part
	for i := range MostParts {
		parts = append(parts, Part{Batch: "rye", FirstWood: Day(10000 + i), Wood: []WoodTime{{"oak", 900 - i}}, EthanolMg: 1000})
	}
	parts[20].EthanolMg, parts[30].EthanolMg = 10, 20
	oats := Part{Batch: "oat", FirstWood: 10500, Wood: []WoodTime{{"oak", 30}}, EthanolMg: 1}
	out := joined(parts, []Part{oats})
	if len(out) != MostParts {
		t.Fatalf("%d parts, want %d", len(out), MostParts)
	}
	if !reflect.DeepEqual(out[0], oats) {
		t.Errorf("the only part of its batch became %+v", out[0])
	}
	// The smallest goes into its older neighbour, and takes the claim down to its own.
	want := Part{Batch: "rye", FirstWood: 10020, Wood: []WoodTime{{"oak", 880}}, EthanolMg: 1010}
	if !slices.ContainsFunc(out, func(p Part) bool { return reflect.DeepEqual(p, want) }) {
		t.Errorf("%+v is not among the parts", want)
	}
}

// Batches are never joined with each other, even beyond MostParts.
func TestBatchesAreNotJoined(t *testing.T) {
	var parts []Part
	for i := range MostParts + 5 {
		parts = append(parts, Part{Batch: fmt.Sprintf("run %03d", i), EthanolMg: int64(i + 1)})
	}
	if out := joined(parts, nil); len(out) != MostParts+5 {
		t.Errorf("%d batches became %d parts", MostParts+5, len(out))
	}
}

// Spirit that has not met wood keeps no claim to a first day when it is joined
// with some that has: what is joined must not look older than either.
func TestJoiningUnwoodedSpirit(t *testing.T) {
	parts := []Part{
		{Batch: "rye", EthanolMg: 5},
		{Batch: "rye", FirstWood: 10000, Wood: []WoodTime{{"oak", 900}}, EthanolMg: 7},
	}
	out, ok := joinSmallest(parts)
	want := []Part{{Batch: "rye", EthanolMg: 12}}
	if !ok || !reflect.DeepEqual(out, want) {
		t.Errorf("joined to %+v, want %+v", out, want)
	}
}

func TestSharesOfParts(t *testing.T) {
	s := NewState()
	s.Batches["rye 1"] = &BatchState{Batch: Batch{Name: "rye 1", Grains: map[string]float64{"rye": 0.6, "barley": 0.4}}}
	s.Batches["cider 1"] = &BatchState{Batch: Batch{Name: "cider 1", Grains: map[string]float64{"apple": 0.5}}}
	parts := []Part{{Batch: "rye 1", EthanolMg: 30}, {Batch: "cider 1", EthanolMg: 50}, {Batch: "lost", EthanolMg: 20}}
	grains := s.GrainShares(parts)
	for name, want := range map[string]float64{"rye": 0.18, "barley": 0.12, "apple": 0.25, "unknown": 0.45} {
		near(t, name, grains[name], want, 1e-12)
	}
	if len(grains) != 4 {
		t.Errorf("grains are %v", grains)
	}
	batches := BatchShares(parts)
	near(t, "rye 1", batches["rye 1"], 0.3, 1e-12)
	near(t, "cider 1", batches["cider 1"], 0.5, 1e-12)
	if got := s.GrainShares(nil); len(got) != 0 {
		t.Errorf("nothing has the grains %v", got)
	}
}
