package spirit_test

import (
	"fmt"

	"example.org/croze/internal/spirit"
)

// The reduction of the package comment, worked by the package.
func ExampleReduce() {
	r, err := spirit.Reduce(10, 60, 40)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("water %.3f kg, %.3f L; result %.3f L; contraction %.3f L\n",
		r.Water, r.WaterVolume, r.Volume, r.Contraction)
	// Output: water 5.130 kg, 5.139 L; result 15.000 L; contraction 0.139 L
}

// A stem made for 20 °C reads 58.0 in spirit of 12 °C.
func ExampleHydrometer_Strength() {
	stem := spirit.Hydrometer{Scale: spirit.ScaleStrength, Base: spirit.Reference}
	q, sd, err := stem.Strength(stem.Observed(58, 12))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f ± %.1f %% vol\n", q, sd)
	// Output: 60.8 ± 0.1 % vol
}

func ExampleParseStrength() {
	_, err := spirit.ParseStrength("46,2")
	fmt.Println(err)
	// Output: strength "46,2": use a point as the decimal mark, and nothing between thousands
}
