package gauge

import "testing"

var (
	sinkLitres   litresT
	sinkWalls    Walls
	sinkLength   Centimetres
	sinkMeasured Measured
)

// hot are the calls that an estimator or a projection makes in its loops.
var hot = map[string]func(){
	"Content lying":     func() { sinkLitres, _ = hogshead.Content(Lying, 21) },
	"Content standing":  func() { sinkLitres, _ = hogshead.Content(Standing, 21) },
	"Dip lying":         func() { sinkLength, _ = hogshead.Dip(Lying, 61) },
	"WettedWalls lying": func() { sinkWalls, _ = hogshead.WettedWalls(Lying, 21) },
	"WettedAt lying":    func() { sinkWalls, _ = hogshead.WettedAt(Lying, 0.7) },
	"Walls":             func() { sinkWalls, _ = hogshead.Walls() },
	"Level":             func() { sinkLength, _ = demijohn.Level(21) },
	"ByWeight":          func() { sinkMeasured, _ = ByWeight(51, 16, 61) },
	"ByVolume":          func() { sinkMeasured, _ = ByVolume(31, 13, 61) },
	"ByDip":             func() { sinkMeasured, _ = ByDip(hogshead, Lying, 21, Of(61, 13)) },
	"ByLevel with wood": func() { sinkMeasured, _ = ByLevel(demijohn, Staves{2, 20, 4, 1}, 21, Of(61, 13)) },
	"ByUllage standing": func() { sinkMeasured, _ = ByUllage(hogshead, Standing, 21, Of(61, 13)) },
	"ByJug":             func() { sinkMeasured, _ = ByJug(5, 4, 1.2, Of(61, 13)) },
	"ByMeter":           func() { sinkMeasured, _ = ByMeter(200, Of(61, 13)) },
}

func BenchmarkHot(b *testing.B) {
	for name, call := range hot {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				call()
			}
		})
	}
}
