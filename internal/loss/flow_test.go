package loss

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/croze/internal/spirit"
)

// nowhere is a place of which nothing is known.
func nowhere() *stay { return &stay{math.Inf(-1), -1, newAir(Climate{})} }

func testReckoner(t *testing.T, v Vessel) (reckoner, belief) {
	t.Helper()
	h := newHistory(v, []stay{*nowhere()}, -1)
	r := newReckoner(h, meanHyper(0))
	b := r.run(h.acts)
	if !b.filled {
		t.Fatal("the vessel is empty")
	}
	return r, b
}

// meanHyper has every setting at its prior mean.
func meanHyper(places int) *hyper {
	airs := make([]*air, places)
	for i := range airs {
		airs[i] = newAir(Climate{})
	}
	list := settingsOf(airs, nil)
	at := make([]float64, len(list))
	for i := range list {
		at[i] = list[i].mean
	}
	return newHyper(at)
}

func amount(t testing.TB, litres, strength float64) spirit.Amount {
	t.Helper()
	a, err := spirit.AmountOf(spirit.Litres(litres), spirit.Strength(strength))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func filledVessel(t testing.TB, capacity, strength float64) Vessel {
	return Vessel{Code: "A", Kind: Cask, Capacity: spirit.Litres(capacity), Events: []Event{
		{At: 15000, What: Fill, Amount: amount(t, 0.97*capacity, strength)},
	}}
}

// A step says how it carries deviations on; carrying them for real must agree.
func TestPassageIsTheSlopeOfAStep(t *testing.T) {
	r, b := testReckoner(t, filledVessel(t, 100, 60))
	b.x[inLeak], b.x[inRate], b.x[inPull], b.x[inDrive] = 0.05, 0.1, 0.02, -0.03
	step := nowhere().step(15020, 15060, 15000)
	at := b
	f := r.wait(&at, &step)
	for i := range unknowns {
		const h = 1e-4
		up, down := b, b
		up.x[i] += h
		down.x[i] -= h
		r.wait(&up, &step)
		r.wait(&down, &step)
		for name, pair := range map[string][2]float64{
			"ethanol": {f.ethanol[i], (up.x[inEthanol] - down.x[inEthanol]) / (2 * h)},
			"water":   {f.water[i], (up.x[inWater] - down.x[inWater]) / (2 * h)},
		} {
			// The passage is of first order in the step, so a few parts in a hundred may differ.
			if math.Abs(pair[0]-pair[1]) > 0.02*math.Abs(pair[1])+2e-3 {
				t.Errorf("%s by unknown %d: passage says %g, differences %g", name, i, pair[0], pair[1])
			}
		}
	}
}

// Steps of three months must give what steps of a day give.
func TestLongStepsAreGoodEnough(t *testing.T) {
	r, start := testReckoner(t, filledVessel(t, 20, 60))
	a := nowhere()
	coarse, fine := start, start
	for day := 15000.0; day < 15000+4*92; day += 92 {
		step := a.step(day, day+92, 15000)
		r.wait(&coarse, &step)
		for d := day; d < day+92; d++ {
			one := a.step(d, d+1, 15000)
			r.wait(&fine, &one)
		}
	}
	v1, _ := coarse.content().volume()
	v2, _ := fine.content().volume()
	q1, _ := coarse.content().strength()
	q2, _ := fine.content().strength()
	if math.Abs(v1-v2) > 3e-4*20 || math.Abs(q1-q2) > 5e-3 {
		t.Errorf("long steps: %.4f L at %.4f %%; short steps: %.4f L at %.4f %%", v1, q1, v2, q2)
	}
}

// By hand, as in the package comment: 200 L at 60 % vol loses 1.8 kg of ethanol a year.
func TestFlowByHand(t *testing.T) {
	r, b := testReckoner(t, filledVessel(t, 200, 60))
	r.hyper.ideal = 1
	r.hyper.dryness = 0
	b.x[inScale] = math.Log(1.9)
	f := r.flowOf(&b.x, drying{0, 0.65})
	if math.Abs(f.ethanol-1.84) > 0.03 {
		t.Errorf("ethanol leaves at %.3f kg a year", f.ethanol)
	}
}

// Whatever is written down, the reckoning stays finite.
func TestOddHistoriesStayFinite(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 5))
		stock := oddStock(t, r)
		m := Fit(stock)
		for _, v := range stock.Vessels {
			for _, s := range m.Path(v.Code, 14900, 18000, 97) {
				for _, e := range []Estimate{s.VolumeL, s.StrengthPct, s.PureAlcoholL, s.LossPctPerYear, s.DriftPctPerYear} {
					if bad(e) || s.VolumeL.Mean < 0 || s.StrengthPct.Mean < 0 || s.StrengthPct.Mean > 100 {
						t.Fatalf("seed %d, vessel %s, day %g: %+v", seed, v.Code, s.At, s)
					}
				}
			}
			if w := m.SampleWorth(v.Code, 17000); !(w >= 0 && w <= 1) {
				t.Fatalf("seed %d: a sample of %s is worth %g", seed, v.Code, w)
			}
		}
	}
}

func bad(e Estimate) bool {
	sum := e.Mean + e.SD + e.Low + e.High
	return math.IsNaN(sum) || math.IsInf(sum, 0) || e.SD < 0 || e.Low > e.High
}

// oddStock has vessels of any kind with events of any kind in any order.
func oddStock(t *testing.T, r *rand.Rand) Stock {
	kinds := []Kind{Cask, Hybrid, Jar, Tank, "other"}
	var s Stock
	for i := range 4 {
		v := Vessel{Code: string(rune('A' + i)), Kind: kinds[r.IntN(5)], Place: []string{"", "x"}[r.IntN(2)],
			Capacity: spirit.Litres(math.Exp(6 * r.Float64())), WoodNew: r.IntN(2) == 0}
		for range r.IntN(14) {
			e := Event{At: 15000 + math.Floor(1500*r.Float64()), What: EventKind(r.IntN(5))}
			e.Amount = amount(t, 1.2*float64(v.Capacity)*r.Float64(), 100*r.Float64())
			e.Strength = Measured{Value: 100 * r.Float64(), Known: r.IntN(2) == 0}
			e.Volume = Measured{Value: 500 * r.Float64(), Known: r.IntN(3) == 0, SD: r.Float64()}
			e.NetMass = Measured{Value: 300 * r.Float64(), Known: r.IntN(3) == 0}
			v.Events = append(v.Events, e)
		}
		s.Vessels = append(s.Vessels, v)
	}
	return s
}
