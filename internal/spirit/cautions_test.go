package spirit

import (
	"testing"

	"example.org/croze/internal/published"
)

// The table in the code is the published one and NIOSH's row for pure ethanol
// (55 °F, 12.8 °C, rounded down). At the strength of a row the printed figure
// comes out; the strengths are by mass.
func TestFlashPointsOfTheTable(t *testing.T) {
	rows := published.Rows(t, "flash_points.csv")
	if len(rows)+1 != len(flashPoints) {
		t.Fatalf("%d rows published, %d in the code", len(rows), len(flashPoints))
	}
	for i, r := range rows {
		percent, at := r.Number(t, "pct_weight"), r.Number(t, "flash_point_C")
		if flashPoints[i] != (flashPoint{percent, Celsius(at)}) {
			t.Errorf("row %d is %v, published %v %% weight, %v °C", i, flashPoints[i], percent, at)
		}
		q := must[Strength](t)(MassFraction(percent / 100).Strength())
		got, ok := FlashPoint(q)
		if !ok || float64(got) != at {
			t.Errorf("%v %% weight: %v, %v; printed %v", percent, got, ok, at)
		}
		near(t, "°F of the row", float64(Celsius(at).Fahrenheit()), r.Number(t, "flash_point_F"), 0.5) // whole degrees of both scales
	}
	near(t, "pure ethanol, NIOSH 55 °F", float64(flashPoints[len(flashPoints)-1].at), float64(Fahrenheit(55).Celsius()), 0.1)
}

// Safe side: never above the straight line between rows, never rising with
// strength, and by mass: 40 % vol (33 % by mass) has the row of 40 % by mass.
func TestFlashPointErrsOnTheSafeSide(t *testing.T) {
	last := Celsius(1000)
	for tenth := 64; tenth <= 1000; tenth++ {
		q := Strength(float64(tenth) / 10)
		at, ok := FlashPoint(q)
		if !ok || at > last {
			t.Fatalf("%v %% vol: %v after %v, %v", q, at, last, ok)
		}
		last = at
		percent := 100 * float64(must[MassFraction](t)(q.MassFraction()))
		for i := 1; i < len(flashPoints); i++ {
			a, b := flashPoints[i-1], flashPoints[i]
			if percent <= a.percentByMass || percent > b.percentByMass {
				continue
			}
			share := (percent - a.percentByMass) / (b.percentByMass - a.percentByMass)
			if line := float64(a.at) + share*float64(b.at-a.at); float64(at) > line+1e-9 {
				t.Errorf("%v %% vol: %v °C is above the line between rows, %v", q, at, line)
			}
		}
	}
	if at, ok := FlashPoint(40); !ok || at != 26 {
		t.Errorf("40 %% vol: %v, %v", at, ok)
	}
	for _, q := range []Strength{0, 6, -1, 101} {
		if at, ok := FlashPoint(q); ok {
			t.Errorf("%v %% vol has a flash point of %v", q, at)
		}
	}
}

// Simmonds 1919 between its rows of 59 and 61 %: spirit of 60 % by weight grows
// from 10 to 40 °C by (0.90154+0.89698)/(0.87653+0.87180), that is 2.87 %.
// 0.00012 in each density makes 0.0002 in the quotient.
func TestGrowthAndHeadSpace(t *testing.T) {
	q := must[Strength](t)(MassFraction(0.60).Strength())
	want := (0.90154 + 0.89698) / (0.87653 + 0.87180)
	near(t, "growth", must[float64](t)(Expansion(q, 10, 40)), want, 0.0002)
	near(t, "head space", must[float64](t)(HeadSpace(q, 10, 40)), 1-1/want, 0.0002)
	// A jar of 20 L filled with that much left empty is just full at 40 °C.
	space := must[float64](t)(HeadSpace(q, 10, 40))
	near(t, "full", float64(must[Litres](t)(VolumeFrom(Litres(20*(1-space)), q, 10, 40))), 20, 1e-9)
	if space := must[float64](t)(HeadSpace(q, 30, 10)); space != 0 {
		t.Errorf("a vessel that cools wants %v", space)
	}
	if _, err := HeadSpace(q, 10, 41); err == nil {
		t.Error("41 °C was taken")
	}
}
