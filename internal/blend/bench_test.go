package blend

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
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

// BenchmarkSideBySide solves the same plan with Croze, from the plan file's
// text to the answer and by Solve alone, and with other solvers as processes.
// cpu-ms/op is processor time, which other work on the machine disturbs less.
func BenchmarkSideBySide(b *testing.B) {
	for _, c := range []struct {
		name string
		plan Plan
	}{
		{"linear, 10000 vessels", wholeStock(10_000, LeastCost, 7)},
		{"200 vessels, at most 5", fewVessels(200, 5, LeastCost, 3)},
		{"200 vessels, at most 5, tight", tight()},
	} {
		text := []byte(asJSON(c.plan))
		b.Run(c.name+"/croze", func(b *testing.B) {
			charge(b, syscall.RUSAGE_SELF, func() {
				p, err := Parse(text)
				if err != nil {
					b.Fatal(err)
				}
				if r, err := Solve(p); err != nil || r.Status != StatusOptimal {
					b.Fatal(r.Status, err)
				}
			})
		})
		b.Run(c.name+"/croze, solving alone", func(b *testing.B) {
			charge(b, syscall.RUSAGE_SELF, func() {
				if r, err := Solve(c.plan); err != nil || r.Status != StatusOptimal {
					b.Fatal(r.Status, err)
				}
			})
		})
		b.Run(c.name+"/glpsol", func(b *testing.B) {
			file := filepath.Join(b.TempDir(), "plan.lp")
			if err := os.WriteFile(file, []byte(lpText(c.plan)), 0o600); err != nil {
				b.Fatal(err)
			}
			charge(b, syscall.RUSAGE_CHILDREN, func() { glpsol(b, file) })
		})
		b.Run(c.name+"/highs", func(b *testing.B) {
			inside := 0.0
			charge(b, syscall.RUSAGE_CHILDREN, func() { inside += askHiGHS(b, []Plan{c.plan})[0].Seconds })
			b.ReportMetric(1000*inside/float64(b.N), "ms-inside/op")
		})
	}
}

// charge runs a benchmark and reports the processor time it took.
func charge(b *testing.B, who int, work func()) {
	before := processorTime(b, who)
	for b.Loop() {
		work()
	}
	b.ReportMetric(1000*(processorTime(b, who)-before)/float64(b.N), "cpu-ms/op")
}

// processorTime is in seconds, user and system.
func processorTime(b *testing.B, who int) float64 {
	var use syscall.Rusage
	if err := syscall.Getrusage(who, &use); err != nil {
		b.Fatal(err)
	}
	return float64(use.Utime.Nano()+use.Stime.Nano()) / 1e9
}

// tight asks for nearly as much as five vessels can give.
func tight() Plan {
	p := fewVessels(200, 5, LeastCost, 3)
	p.Target.VolumeL = 330
	return p
}
