package gauge

import (
	"testing"

	"example.org/croze/internal/spirit"
)

// A litre of pure water at 20 °C has the mass of the density formula, and a
// balance in air shows 1.05 g less for each kilogram.
func TestWeightAndVolumeAgree(t *testing.T) {
	for _, q := range []spirit.Strength{0, 5, 40, 62.5, 96, 100} {
		byVolume, err := ByVolume(30, 20, q)
		if err != nil {
			t.Fatal(err)
		}
		d, err := q.Density()
		if err != nil {
			t.Fatal(err)
		}
		shown, err := spirit.WeighedOfMass(byVolume.Amount.Mass(), d)
		if err != nil {
			t.Fatal(err)
		}
		byWeight, err := ByWeight(shown+14.2, 14.2, q)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "volume by weight", float64(byWeight.Volume), 30, 1e-6)
		near(t, "ethanol by weight, mg", float64(byWeight.Amount.EthanolMg), float64(byVolume.Amount.EthanolMg), 2)
		near(t, "pure alcohol", float64(byVolume.Amount.PureAlcohol()), 0.3*float64(q), 1e-5)
	}
}

// Simmonds 1919 has 0.91502 at 10 °C and 0.90711 at 20 °C for 53 % by weight
// (61.0 % vol): cold spirit takes less room, so the books show more.
func TestVolumeIsBroughtTo20(t *testing.T) {
	p := spirit.MassFraction(0.53)
	q, err := p.Strength()
	if err != nil {
		t.Fatal(err)
	}
	m, err := ByVolume(20, 10, q)
	if err != nil {
		t.Fatal(err)
	}
	// 0.00012 in each density, as the table and the formula differ by that.
	near(t, "volume at 20 °C", float64(m.Volume), 20*0.91502/0.90711, 20*0.00017)
}
