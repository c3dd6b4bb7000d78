package loss

import (
	"math"
	"testing"

	"example.org/croze/internal/spirit"
)

// The table is straight between entries; it must stay closer to the formulas
// than any gauge could tell.
func TestLiquidTable(t *testing.T) {
	for p := 0.0; p <= 1; p += 0.00037 {
		at, _ := lookUp(p)
		q, err := spirit.MassFraction(p).Strength()
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(at.strength - float64(q)); d > 2e-4 {
			t.Fatalf("strength at mass fraction %.5f is off by %g %% vol", p, d)
		}
		rho, err := spirit.DensityOf(spirit.MassFraction(p), spirit.Reference)
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(at.bulk*float64(rho)/1000 - 1); d > 1e-6 {
			t.Fatalf("volume at mass fraction %.5f is off by %g of it", p, d)
		}
	}
}

// The activities obey Gibbs and Duhem: x1·dln a1 + x2·dln a2 = 0 along the
// mixture, whatever the constants.
func TestActivitiesAreConsistent(t *testing.T) {
	share := func(p float64) float64 {
		n1, n2 := p/molarEthanol, (1-p)/molarWater
		return n1 / (n1 + n2)
	}
	const h = 1e-5
	for p := 0.05; p < 0.95; p += 0.05 {
		e1, w1 := activities(p - h)
		e2, w2 := activities(p + h)
		x := share(p)
		sum := x*math.Log(e2/e1) + (1-x)*math.Log(w2/w1)
		if math.Abs(sum) > 1e-9 {
			t.Errorf("at mass fraction %.2f the activities break Gibbs-Duhem by %g", p, sum)
		}
	}
	if e, w := activities(1); e != 1 || w != 0 {
		t.Errorf("pure ethanol has activities %g and %g", e, w)
	}
}

func TestContentSlopes(t *testing.T) {
	c := content{40, 35}
	const h = 1e-4
	for name, of := range map[string]func(content) (float64, gradient){
		"volume": content.volume, "strength": content.strength, "pure alcohol": content.pureAlcohol,
	} {
		_, g := of(c)
		up, _ := of(content{c.ethanol + h, c.water})
		down, _ := of(content{c.ethanol - h, c.water})
		wet, _ := of(content{c.ethanol, c.water + h})
		dry, _ := of(content{c.ethanol, c.water - h})
		for i, numeric := range [2]float64{(up - down) / (2 * h), (wet - dry) / (2 * h)} {
			if math.Abs(g[i]-numeric) > 2e-3*(1+math.Abs(numeric)) {
				t.Errorf("%s: slope %d is %g, by differences %g", name, i, g[i], numeric)
			}
		}
	}
}
