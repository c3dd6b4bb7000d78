package gauge

import (
	"fmt"
	"math"

	"example.org/croze/internal/spirit"
)

// Profile is the curve that a cask's staves follow from bung to head. The four
// curved ones are those of the old gaugers; between the same three measures the
// spheroid holds most and the cones least.
type Profile string

// The profiles. z runs from 0 at the bung to 1 at a head, B and H are the two
// diameters, r the radius.
const (
	Spheroid    Profile = "spheroid"    // r² falls with z²: staves curved all the way
	Spindle     Profile = "spindle"     // r falls with z²: a parabola
	Paraboloids Profile = "paraboloids" // r² falls with z: two paraboloids, a blunt edge at the bung
	Cones       Profile = "cones"       // r falls with z: straight staves, a sharp edge at the bung
	Cylinder    Profile = "cylinder"    // r is the same throughout
)

// Position is how a cask rests.
type Position string

// The positions.
const (
	Lying    Position = "lying"    // on its side, the bung up
	Standing Position = "standing" // on a head
)

// Shape is the inside of a cask or of any round vessel with two flat ends.
type Shape struct {
	Profile Profile     `json:"profile"`
	Bung    Centimetres `json:"bung_cm"`   // diameter at the middle, 1 to 1000 cm
	Head    Centimetres `json:"head_cm"`   // diameter at the ends, above 0 and not above Bung
	Length  Centimetres `json:"length_cm"` // between the heads, 1 to 1000 cm
}

// Drum returns the shape of a cylinder.
func Drum(diameter, length Centimetres) Shape {
	return Shape{Profile: Cylinder, Bung: diameter, Head: diameter, Length: length}
}

// Check refuses a shape that is none, and names the measure.
func (s Shape) Check() error {
	switch s.Profile {
	case Spheroid, Spindle, Paraboloids, Cones, Cylinder:
	default:
		return fmt.Errorf("profile %q: it must be one of spheroid, spindle, paraboloids, cones, cylinder", s.Profile)
	}
	for _, err := range []error{
		between("bung diameter", "cm", float64(s.Bung), 1, 1000),
		between("head diameter", "cm", float64(s.Head), 0.1, float64(s.Bung)),
		between("length", "cm", float64(s.Length), 1, 1000),
	} {
		if err != nil {
			return err
		}
	}
	if s.Profile == Cylinder && s.Head != s.Bung {
		return fmt.Errorf("head diameter %.6g cm: a cylinder's must be that of the bung, %.6g cm",
			float64(s.Head), float64(s.Bung))
	}
	return nil
}

// radius returns the radius at z (0 at the bung, 1 at a head) and its slope
// along the axis, both in cm over cm.
func (s Shape) radius(z float64) (r, slope float64) {
	big, small, half := float64(s.Bung)/2, float64(s.Head)/2, float64(s.Length)/2
	squares := big*big - small*small
	switch s.Profile {
	case Spheroid:
		r = math.Sqrt(big*big - squares*z*z)
		slope = -squares * z / r
	case Spindle:
		r = big - (big-small)*z*z
		slope = -2 * (big - small) * z
	case Paraboloids:
		r = math.Sqrt(big*big - squares*z)
		slope = -squares / (2 * r)
	case Cones:
		r = big - (big-small)*z
		slope = small - big
	default:
		r = big
	}
	return r, slope / half
}

// reach is the inverse of radius: the z up to which the cask is at least as
// wide as r. It is 1 for every r that a head has, too.
func (s Shape) reach(r float64) float64 {
	big, small := float64(s.Bung)/2, float64(s.Head)/2
	if r <= small {
		return 1
	}
	squares := (big*big - r*r) / (big*big - small*small)
	lengths := (big - r) / (big - small)
	switch s.Profile {
	case Spheroid:
		return math.Sqrt(squares)
	case Spindle:
		return math.Sqrt(lengths)
	case Paraboloids:
		return squares
	default:
		return lengths
	}
}

// Volume returns what the shape holds when full.
func (s Shape) Volume() (spirit.Litres, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	return litres(s.full()), nil
}

// full is the volume in cm³: both halves.
func (s Shape) full() float64 { return 2 * s.disks(0, 1) }

// disks adds up the cross-sections of one half between two z, in cm³. The
// square of the radius is a polynomial in z, so the sum is exact.
func (s Shape) disks(from, to float64) float64 {
	return float64(s.Length) / 2 * integrate(from, to, func(z float64) float64 {
		r, _ := s.radius(z)
		return math.Pi * r * r
	})
}

func litres(cubicCentimetres float64) spirit.Litres {
	return spirit.Litres(cubicCentimetres / cubicCentimetresPerLitre)
}
