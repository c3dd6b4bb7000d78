package loss

import (
	"fmt"
	"testing"
)

// bigStock is a stock of many vessels with twenty samples each.
func bigStock(vessels, samples int) Stock {
	p := plan{world: seasonalWorld(), casks: vessels, sizes: []float64{20, 50, 100, 200}, years: 5,
		samples: samples, least: samples, draws: 0.1, slips: 0.005, newWood: 0.3}
	return simulate(p, 1).stock
}

func BenchmarkFit(b *testing.B) {
	for _, n := range []int{40, 1000, 10000} {
		stock := bigStock(n, 20)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				Fit(stock)
			}
		})
	}
}

func BenchmarkRefit(b *testing.B) {
	stock := bigStock(40, 25)
	m := Fit(stock)
	for b.Loop() {
		m.Refit(stock.Vessels[7])
	}
}

// BenchmarkForecast asks for every vessel of a stock of 10 000 on a new date.
func BenchmarkForecast(b *testing.B) {
	stock := bigStock(10000, 20)
	m := Fit(stock)
	for b.Loop() {
		m.States(simStart + 7*daysPerYear)
	}
}

func BenchmarkPath(b *testing.B) {
	m := Fit(bigStock(40, 25))
	for b.Loop() {
		m.Path("C007", simStart, simStart+8*daysPerYear, 30)
	}
}
