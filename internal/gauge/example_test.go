package gauge_test

import (
	"fmt"

	"example.org/croze/internal/gauge"
)

// The figures of the package comment.
func ExampleByVolume() {
	m, err := gauge.ByVolume(20, 10, 60)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f L at 20 °C\n", m.Volume)
	// Output: 20.17 L at 20 °C
}

// A cask of 58 cm at the bung, 48 cm at the heads and 72 cm long lies with
// 35 cm on the rod; the spirit is 61 % vol and 12 °C.
func ExampleByDip() {
	cask := gauge.Shape{Profile: gauge.Spheroid, Bung: 58, Head: 48, Length: 72}
	m, err := gauge.ByDip(cask, gauge.Lying, 35, gauge.Of(61, 12))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f ± %.0f L\n", m.Volume, m.VolumeSD)
	// Output: 109 ± 2 L
}

func ExampleByWeight() {
	m, err := gauge.ByWeight(14.2+0.908, 14.2, 60)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f kg, %.2f L\n", m.Amount.Mass(), m.Volume)
	// Output: 0.909 kg, 1.00 L
}
