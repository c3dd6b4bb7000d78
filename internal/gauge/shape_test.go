package gauge

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"example.org/croze/internal/spirit"
)

type litresT = spirit.Litres

var (
	profiles  = []Profile{Spheroid, Spindle, Paraboloids, Cones, Cylinder}
	positions = []Position{Lying, Standing}
)

// shapes draws vessels from a miniature cask to a vat.
func shapes(t *rapid.T) Shape {
	s := Shape{
		Profile: rapid.SampledFrom(profiles).Draw(t, "profile"),
		Bung:    Centimetres(rapid.Float64Range(8, 300).Draw(t, "bung")),
		Length:  Centimetres(rapid.Float64Range(8, 400).Draw(t, "length")),
	}
	s.Head = s.Bung * Centimetres(rapid.Float64Range(0.4, 1).Draw(t, "head over bung"))
	if s.Profile == Cylinder {
		s.Head = s.Bung
	}
	return s
}

// closedVolume holds the formulas of the old gaugers, cm³.
func closedVolume(s Shape) float64 {
	b, h, l := float64(s.Bung), float64(s.Head), float64(s.Length)
	switch s.Profile {
	case Spheroid:
		return math.Pi / 12 * l * (2*b*b + h*h)
	case Spindle:
		return math.Pi / 12 * l * (2*b*b + h*h - 0.4*(b-h)*(b-h))
	case Paraboloids:
		return math.Pi / 8 * l * (b*b + h*h)
	case Cones:
		return math.Pi / 12 * l * (b*b + b*h + h*h)
	default:
		return math.Pi / 4 * l * b * b
	}
}

func TestVolumeIsTheClosedForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := shapes(t)
		want := closedVolume(s) / 1000
		near(t, string(s.Profile), float64(must[litresT](t)(s.Volume())), want, 1e-12*want)
	})
}

func TestInches(t *testing.T) {
	near(t, "an inch", float64(Inches(1).Centimetres()), 2.54, 0)
	near(t, "and back", float64(Inches(32).Centimetres().Inches()), 32, 1e-12)
}

// Half the depth holds half the content in both positions; full and empty are
// what they say; more depth is more content.
func TestContentsByDepth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, p := shapes(t), rapid.SampledFrom(positions).Draw(t, "position")
		full := float64(must[litresT](t)(s.Volume()))
		depth := s.depth(p)
		at := func(wet Centimetres) float64 { return float64(must[litresT](t)(s.Content(p, wet))) }
		near(t, "empty", at(0), 0, 1e-12*full)
		near(t, "full", at(depth), full, 1e-12*full)
		near(t, "half", at(depth/2), full/2, 1e-9*full)
		wet := depth * Centimetres(rapid.Float64Range(0, 1).Draw(t, "wet"))
		near(t, "a level and its mirror", at(wet)+at(depth-wet), full, 1e-9*full)
		if deeper := min(depth, wet+depth/100); deeper > wet && at(deeper) < at(wet) {
			t.Errorf("%v at %v, %v at %v", at(wet), wet, at(deeper), deeper)
		}
	})
}

func TestDipIsTheInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, p := shapes(t), rapid.SampledFrom(positions).Draw(t, "position")
		full := must[litresT](t)(s.Volume())
		v := full * litresT(rapid.Float64Range(0, 1).Draw(t, "fill"))
		wet := must[Centimetres](t)(s.Dip(p, v))
		near(t, "content of the dip", float64(must[litresT](t)(s.Content(p, wet))), float64(v), 1e-9*float64(full))
	})
}

// slices adds up a lying cask in plain steps along its length, the naive way.
func slices(s Shape, wet float64) (volume, body float64) {
	const steps = 40_000
	gap := float64(s.Bung)/2 - wet
	for i := range steps {
		r, slope := s.radius((float64(i) + 0.5) / steps)
		angle := math.Acos(math.Max(-1, math.Min(1, gap/r))) // half of the wet arc
		volume += r * r * (angle - math.Sin(angle)*math.Cos(angle))
		body += 2 * r * angle * math.Hypot(1, slope)
	}
	width := float64(s.Length) / steps
	return volume * width / 1000, body * width / 1e4
}

// At every depth, those included where the liquid's edge just meets the heads.
// 1e-6 is what 40 000 plain steps are good for at such an edge.
func TestLyingCaskAgainstSlices(t *testing.T) {
	for _, profile := range profiles[:4] {
		s := Shape{profile, 58, 46, 72}
		full := closedVolume(s) / 1000
		walls := must[Walls](t)(s.Walls())
		for _, wet := range []float64{0.05, 1, 3, 5.9, 6, 6.1, 12, 23, 29, 41, 51.9, 52, 52.1, 57.5} {
			volume, body := slices(s, wet)
			near(t, "volume", float64(must[litresT](t)(s.Content(Lying, Centimetres(wet)))), volume, 1e-6*full)
			got := must[Walls](t)(s.WettedWalls(Lying, Centimetres(wet)))
			near(t, "wet body", float64(got.Body), body, 1e-6*float64(walls.Body))
		}
	}
}

// A lying drum has a closed form at every level: segments of a circle.
func TestDrumAgainstTheCircle(t *testing.T) {
	s := Drum(40, 60)
	for _, wet := range []float64{0, 2, 10, 20, 31, 39.9, 40} {
		angle := math.Acos((20 - wet) / 20)
		area := 400 * (angle - math.Sin(angle)*math.Cos(angle))
		near(t, "volume", float64(must[litresT](t)(s.Content(Lying, Centimetres(wet)))), area*60/1000, 1e-9)
		w := must[Walls](t)(s.WettedWalls(Lying, Centimetres(wet)))
		near(t, "body", float64(w.Body), 2*20*angle*60/1e4, 1e-9)
		near(t, "heads", float64(w.Heads), 2*area/1e4, 1e-9)
	}
}

// Closed forms of the surface: drum, cones, and a spheroid that is a zone of a
// sphere (a zone's surface is 2πR times its height, wherever it is cut).
func TestWallsAgainstClosedForms(t *testing.T) {
	drum := must[Walls](t)(Drum(40, 60).Walls())
	near(t, "drum", float64(drum.Body), math.Pi*40*60/1e4, 1e-12)
	near(t, "drum heads", float64(drum.Heads), 2*math.Pi*400/1e4, 1e-12)
	near(t, "drum in all", float64(drum.Total()), (math.Pi*40*60+2*math.Pi*400)/1e4, 1e-12)

	cones := must[Walls](t)(Shape{Cones, 58, 46, 72}.Walls())
	near(t, "cones", float64(cones.Body), 2*math.Pi*(29+23)*math.Hypot(36, 6)/1e4, 1e-12)

	radius, half := 40.0, 24.0
	zone := Shape{Spheroid, Centimetres(2 * radius), Centimetres(2 * math.Sqrt(radius*radius-half*half)), Centimetres(2 * half)}
	near(t, "zone of a sphere", float64(must[Walls](t)(zone.Walls()).Body), 2*math.Pi*radius*2*half/1e4, 1e-12)
	// Standing in 10 cm: a zone of 10 cm, and the head below.
	wet := must[Walls](t)(zone.WettedWalls(Standing, 10))
	near(t, "wet zone", float64(wet.Body), 2*math.Pi*radius*10/1e4, 1e-12)
	near(t, "wet head", float64(wet.Heads), math.Pi*(radius*radius-half*half)/1e4, 1e-12)
}

// Wet and dry make the whole, and a half-full lying cask wets half its wall.
func TestWettedWallsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := shapes(t)
		all := must[Walls](t)(s.Walls())
		p := rapid.SampledFrom(positions).Draw(t, "position")
		depth := s.depth(p)
		wet := depth * Centimetres(rapid.Float64Range(0.01, 0.99).Draw(t, "wet"))
		below := must[Walls](t)(s.WettedWalls(p, wet))
		above := must[Walls](t)(s.WettedWalls(p, depth-wet))
		near(t, "body", float64(below.Body+above.Body), float64(all.Body), 1e-6*float64(all.Body))
		near(t, "heads", float64(below.Heads+above.Heads), float64(all.Heads), 1e-9*float64(all.Heads))
		half := must[Walls](t)(s.WettedAt(p, 0.5))
		near(t, "half full", float64(half.Total()), float64(all.Total())/2, 1e-6*float64(all.Total()))
		near(t, "brim", float64(must[Walls](t)(s.WettedWalls(p, depth)).Total()), float64(all.Total()), 1e-12*float64(all.Total()))
		near(t, "bottom", float64(must[Walls](t)(s.WettedWalls(p, 0)).Total()), 0, 1e-12)
		full := must[Walls](t)(s.WettedAt(p, 1))
		near(t, "full", float64(full.Total()), float64(all.Total()), 1e-9*float64(all.Total()))
		empty := must[Walls](t)(s.WettedAt(p, 0))
		near(t, "empty", float64(empty.Total()), 0, 1e-9)
	})
}
