package gauge

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// demijohn is a shouldered jar of about 25 L.
var demijohn = Jar{Body: 30, BodyHeight: 28, ShoulderHeight: 12, Neck: 5, NeckHeight: 6}

func TestJarAgainstClosedForms(t *testing.T) {
	plain := Jar{Body: 20, BodyHeight: 30}
	near(t, "plain", float64(must[litresT](t)(plain.Volume())), math.Pi*100*30/1000, 1e-12)
	near(t, "plain, 7 cm", float64(must[litresT](t)(plain.Content(7))), math.Pi*100*7/1000, 1e-12)

	// A shoulder as high as the body is wide at the shoulder, without a neck to
	// speak of, is half a ball: 2/3·π·r³.
	ball := Jar{Body: 20, BodyHeight: 1, ShoulderHeight: 10, Neck: 0.5}
	whole := float64(must[litresT](t)(ball.Volume())) - math.Pi*100/1000
	// The neck of radius n = 0.25 adds π·S·(n² + n·d·π/2 - (r²-d²)·2/3), d = r - n.
	n, d, r := 0.25, 9.75, 10.0
	near(t, "half a ball", whole, (2*math.Pi/3*r*r*r+math.Pi*r*(n*n+n*d*math.Pi/2-(r*r-d*d)*2/3))/1000, 1e-12)
}

// The shoulder in plain slices, the naive way; 1e-6 is what the steps are good for.
func TestShoulderAgainstSlices(t *testing.T) {
	const steps = 200_000
	for _, level := range []float64{29, 34, 39, 39.9, 40} {
		sum := math.Pi * 15 * 15 * 28.0
		height := (level - 28) / steps
		for i := range steps {
			u := (float64(i) + 0.5) * height / 12
			radius := 2.5 + 12.5*math.Sqrt(1-u*u)
			sum += math.Pi * radius * radius * height
		}
		got := must[litresT](t)(demijohn.Content(Centimetres(level)))
		near(t, "content", float64(got), sum/1000, 1e-6*sum/1000)
	}
}

func TestLevelIsTheInverse(t *testing.T) {
	full := must[litresT](t)(demijohn.Volume())
	rapid.Check(t, func(t *rapid.T) {
		v := full * litresT(rapid.Float64Range(0, 1).Draw(t, "fill"))
		height := must[Centimetres](t)(demijohn.Level(v))
		near(t, "content of the level", float64(must[litresT](t)(demijohn.Content(height))), float64(v), 1e-9)
	})
}

func TestStaves(t *testing.T) {
	s := Staves{Count: 3, Length: 25, Width: 4, Thickness: 1.2}
	near(t, "area", float64(must[SquareMetres](t)(s.Area())), 3*2*(100+30+4.8)/1e4, 1e-12)
	near(t, "volume", float64(must[litresT](t)(s.Volume())), 0.36, 1e-12)
	near(t, "none", float64(must[SquareMetres](t)(Staves{}.Area())), 0, 0)
}

// Staves that stand in the liquid take room up to its surface, and no more than
// their length.
func TestStavesTakeRoom(t *testing.T) {
	staves := Staves{Count: 3, Length: 25, Width: 4, Thickness: 1.2}
	l := Of(60, 20)
	for _, c := range []struct{ height, room float64 }{{10, 0.144}, {25, 0.36}, {35, 0.36}} {
		with := must[Measured](t)(ByLevel(demijohn, staves, Centimetres(c.height), l))
		without := must[Measured](t)(ByLevel(demijohn, Staves{}, Centimetres(c.height), l))
		near(t, "room", float64(without.Volume-with.Volume), c.room, 1e-6)
	}
	// More wood than room is nothing, not less.
	full := must[Measured](t)(ByLevel(Jar{Body: 5, BodyHeight: 20}, Staves{10, 20, 5, 5}, 10, l))
	near(t, "full of wood", float64(full.Volume), 0, 0)
}

// A jar measured to hold 24 L brim-full holds that, whatever its tape says, and
// the wood in it keeps its own size.
func TestLevelWithMeasuredCapacity(t *testing.T) {
	staves := Staves{Count: 2, Length: 20, Width: 4, Thickness: 1}
	h := Level{Jar: demijohn, Capacity: Capacity{24, 0.05}, Staves: staves, Height: demijohn.Height()}
	m := must[Measured](t)(h.Content(Liquid{Strength: 60, At: 20}))
	near(t, "full", float64(m.Volume), 24-0.16, 1e-6)
	near(t, "uncertainty", float64(m.VolumeSD), 0.05*(24-0.16)/24, 1e-6)
}
