package blend

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// store is a stock of n vessels to plan from.
func store(n int, seed uint64) []Source {
	random := rand.New(rand.NewPCG(seed, 200))
	sources := make([]Source, n)
	for i := range sources {
		sources[i] = randomSource(random, i, false)
		sources[i].MustNotUse, sources[i].KeepL = false, 0
	}
	return sources
}

// fewVessels asks for a bottling from at most k of n vessels.
func fewVessels(n, k int, objective string, seed uint64) Plan {
	share := 0.4
	return Plan{
		Kind: KindBlend, Target: &Target{VolumeL: 120, StrengthPct: 46}, Sources: store(n, seed), Water: true, Objective: objective,
		Wanted: map[string]float64{"fruit": 3, "oak": 2},
		Limits: &Limits{MaxVessels: k, MinAgeDays: 730, Shares: []Band{{Of: "rye", Min: &share}}},
	}
}

// wholeStock asks for a bottling of a third of n vessels.
func wholeStock(n int, objective string, seed uint64) Plan {
	share := 0.4
	p := Plan{
		Kind: KindBlend, Target: &Target{StrengthPct: 46}, Sources: store(n, seed), Water: true, Objective: objective,
		Wanted: map[string]float64{"fruit": 3, "oak": 2}, Limits: &Limits{Shares: []Band{{Of: "rye", Min: &share}}},
	}
	for _, s := range p.Sources {
		p.Target.VolumeL += s.AvailableL / 3
	}
	return p
}

func BenchmarkFewVessels(b *testing.B) {
	for _, objective := range Objectives() {
		b.Run(objective, func(b *testing.B) {
			nodes := 0
			for i := range b.N {
				r, err := Solve(fewVessels(200, 5, objective, uint64(i%10)))
				if err != nil || r.Status == StatusUnproven {
					b.Fatal(r.Status, err)
				}
				nodes += r.Work.Nodes
			}
			b.ReportMetric(float64(nodes)/float64(b.N), "nodes/op")
		})
	}
}

func BenchmarkLinear(b *testing.B) {
	for _, n := range []int{200, 2_000, 10_000} {
		for _, objective := range []string{LeastCost, OldestFirst, ClosestScores} {
			b.Run(fmt.Sprint(n, "/", objective), func(b *testing.B) {
				p := wholeStock(n, objective, 7)
				for b.Loop() {
					if r, err := Solve(p); err != nil || r.Status != StatusOptimal {
						b.Fatal(r.Status, err)
					}
				}
			})
		}
	}
}
