package loss

import (
	"testing"
)

var benchPlans = []plan{
	{casks: 40, sizes: []float64{50, 100, 200}, years: 4, samples: 14, least: 4, draws: 0.2, slips: 0.01, newWood: 0.3},
	{casks: 12, sizes: []float64{10, 20, 30}, years: 3, samples: 8, least: 2, draws: 0.3, slips: 0.01, newWood: 0.5},
	{casks: 30, sizes: []float64{10, 30, 100, 225, 500}, years: 4, samples: 6, least: 1, draws: 0.2, slips: 0.02, newWood: 0.3, strength: 0.2, topUps: 0.1},
	{casks: 60, sizes: []float64{20, 50, 100, 200}, years: 4, samples: 10, least: 2, draws: 0.2, slips: 0.01, newWood: 0.3, strength: 0.1, topUps: 0.05, house: true},
	{casks: 5, sizes: []float64{20, 50}, years: 2, samples: 6, least: 3, newWood: 0.5},
}

var benchNames = []string{"steady", "small", "mixed", "house", "five"}

// BenchmarkStores reports how forecasts two years on compare with the truth of simulated stores.
func BenchmarkStores(b *testing.B) {
	for _, w := range []*world{seasonalWorld(), idealWorld(), humidWorld(), randomWorld()} {
		for k, p := range benchPlans {
			p.world = w
			b.Run(w.name+"/"+benchNames[k], func(b *testing.B) {
				var mine squaredErrors
				var m marks
				for b.Loop() {
					var stores []*store
					for seed := range uint64(240/p.casks + 2) {
						stores = append(stores, simulate(p, seed+1))
					}
					mine, m = forecastMarks(stores)
				}
				for name, rival := range map[string]squaredErrors{"line": m.line, "helpedline": m.helped, "last": m.last} {
					v, q := mine.ratios(rival)
					b.ReportMetric(v, "volume/"+name)
					b.ReportMetric(q, "strength/"+name)
				}
				b.ReportMetric(100*m.held[0], "volume%held")
				b.ReportMetric(100*m.held[1], "strength%held")
			})
		}
	}
}

// leakPlans have leaks that begin a year and a half before now.
var leakPlans = map[string]plan{
	"steady": {casks: 30, sizes: []float64{50, 100, 200}, years: 4, samples: 16, least: 12, draws: 0.2, slips: 0.01, newWood: 0.3, leaks: 0.3, leakBefore: 1.5},
	"rooms":  {casks: 36, sizes: []float64{20, 50, 100}, years: 4, samples: 30, least: 24, draws: 0.2, slips: 0.01, newWood: 0.3, leaks: 0.25, leakBefore: 1.5, rooms: true},
	"small":  {casks: 20, sizes: []float64{10, 20, 30}, years: 3, samples: 10, least: 6, draws: 0.2, slips: 0.01, newWood: 0.3, leaks: 0.2, leakBefore: 1.5},
}

// BenchmarkLeaks reports the share of leaks found within 18 months in vessels
// that are weighed or dipped, and the false alarms in a vessel's year.
func BenchmarkLeaks(b *testing.B) {
	for _, w := range []*world{seasonalWorld(), idealWorld(), humidWorld(), randomWorld()} {
		for name, p := range leakPlans {
			b.Run(w.name+"/"+name, func(b *testing.B) {
				var m leakMarks
				for b.Loop() {
					m = leakMarks{}
					for seed := range uint64(6) {
						m.add(findLeaks(simulate(p.in(w), seed+1)))
					}
				}
				b.ReportMetric(100*m.found/m.leaks, "%found")
				b.ReportMetric(100*m.alarms/m.years, "%false/year")
			})
		}
	}
}
