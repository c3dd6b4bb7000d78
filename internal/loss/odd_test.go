package loss

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/croze/internal/spirit"
)

// Whatever is written down, however odd, no figure is without a value.
func TestOddHistories(t *testing.T) {
	for seed := range uint64(25) {
		r := rand.New(rand.NewPCG(seed, 5))
		var stock Stock
		for i := range 6 {
			stock.Vessels = append(stock.Vessels, oddVessel(fmt.Sprintf("V%d", i), r))
		}
		stock.Places = []Climate{{Place: "a", TempC: 40 * r.Float64(), TempKnown: true}}
		m := Fit(stock)
		m = m.Refit(oddVessel("V2", r)).Refit(oddVessel("new", r))
		for _, day := range []float64{14000, 15000, 15000.5, 15030, 15400, 16500, 30000} {
			for _, s := range append(m.States(day), m.Total([]string{"V0", "V1", "V2", "new", "none"}, day)) {
				sensible(t, seed, s)
			}
		}
		for _, v := range stock.Vessels {
			for _, s := range append(m.Path(v.Code, 14990, 17000, 97), m.LikePath(v.Code, 14990, 17000, 301)...) {
				sensible(t, seed, s)
			}
			if w := m.SampleWorth(v.Code, 15400); !(w >= 0 && w <= 1) {
				t.Errorf("seed %d: a sample of %s is worth %g", seed, v.Code, w)
			}
			if e, falls := m.Reaches(v.Code, VolumeQuantity, 5, 15400); falls && !(finite(e.Mean) && finite(e.Low) && finite(e.SD) && e.High >= e.Low) {
				t.Errorf("seed %d: %s falls to 5 L on %+v", seed, v.Code, e)
			}
		}
	}
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

func sensible(t *testing.T, seed uint64, s State) {
	t.Helper()
	for _, e := range [...]Estimate{s.VolumeL, s.StrengthPct, s.PureAlcoholL, s.LossPctPerYear, s.PureAlcoholLossPctPerYear, s.DriftPctPerYear} {
		if !finite(e.Mean) || !finite(e.SD) || !finite(e.Low) || !finite(e.High) || e.Low > e.High {
			t.Fatalf("seed %d: %+v", seed, s)
		}
	}
	if !finite(s.RateVsKind) || !(s.LeakScore >= 0 && s.LeakScore <= 1) {
		t.Fatalf("seed %d: %+v", seed, s)
	}
}

// oddVessel has a history of events of any kind in no order of sense, many at the same moment.
func oddVessel(code string, r *rand.Rand) Vessel {
	v := Vessel{
		Code: code, Kind: []Kind{Cask, Hybrid, Jar, Tank, "barrow"}[r.IntN(5)], WoodNew: r.IntN(2) == 0,
		Wood: "oak", Place: []string{"", "a", "b"}[r.IntN(3)], Capacity: spirit.Litres([]float64{0, 0.5, 20, 1000}[r.IntN(4)]),
	}
	for range r.IntN(3) {
		v.Moves = append(v.Moves, Move{At: oddDay(r), Place: []string{"", "a", "b"}[r.IntN(3)]})
	}
	for range r.IntN(14) {
		e := Event{At: oddDay(r), Order: r.IntN(3), What: EventKind(r.IntN(5))}
		if r.IntN(3) > 0 {
			e.What = Observe
		}
		if e.What != Observe && r.IntN(8) > 0 {
			e.Amount = spirit.Amount{EthanolMg: int64(3e7 * r.Float64()), WaterMg: int64(2e7 * r.Float64())}
		}
		if e.What == Observe {
			e.Strength = oddMeasure(100, r)
			e.Volume = oddMeasure(60, r)
			e.NetMass = oddMeasure(60, r)
		}
		v.Events = append(v.Events, e)
	}
	return v
}

func oddDay(r *rand.Rand) float64 {
	return []float64{15000, 15000, 15000.5, 15030, 15400, 15400, 15000 + 900*r.Float64()}[r.IntN(7)]
}

func oddMeasure(most float64, r *rand.Rand) Measured {
	value := most * r.Float64()
	if r.IntN(5) == 0 {
		value = []float64{0, -1, 1e6, most}[r.IntN(4)]
	}
	return Measured{Value: value, SD: []float64{0, 0, 0.1, 1e-9, 1e6}[r.IntN(5)], Known: r.IntN(2) == 0}
}
