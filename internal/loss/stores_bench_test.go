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
				var m marks
				for b.Loop() {
					var stores []*store
					for seed := range uint64(240/p.casks + 2) {
						stores = append(stores, simulate(p, seed+1))
					}
					m = forecastMarks(stores)
				}
				b.ReportMetric(m.volume, "volume/line")
				b.ReportMetric(m.strength, "strength/line")
				b.ReportMetric(m.volumeMean, "volmae/line")
				b.ReportMetric(m.strengthMean, "strmae/line")
				b.ReportMetric(m.lastValue, "volume/last")
				b.ReportMetric(100*m.volumeHeld, "volheld%")
				b.ReportMetric(100*m.strengthHeld, "strheld%")
			})
		}
	}
}
