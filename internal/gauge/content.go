package gauge

import (
	"fmt"
	"math"

	"example.org/croze/internal/spirit"
)

// depth is the height of the vessel in its position: how far a rod can be wet.
func (s Shape) depth(p Position) Centimetres {
	if p == Standing {
		return s.Length
	}
	return s.Bung
}

func (s Shape) check(p Position, wet Centimetres) error {
	if err := s.Check(); err != nil {
		return err
	}
	if p != Lying && p != Standing {
		return fmt.Errorf("position %q: it must be lying or standing", p)
	}
	return between("dip of a "+string(p)+" cask", "cm", float64(wet), 0, float64(s.depth(p)))
}

// Content returns the volume below a level: the wet inches of the old gaugers,
// in cm, 0 to the bung diameter (lying, at the bung) or to the length (standing).
func (s Shape) Content(p Position, wet Centimetres) (spirit.Litres, error) {
	if err := s.check(p, wet); err != nil {
		return 0, err
	}
	return litres(s.below(p, float64(wet))), nil
}

// Dip is the inverse of Content: how deep a content stands. The content may be
// 0 to the whole volume.
func (s Shape) Dip(p Position, v spirit.Litres) (Centimetres, error) {
	if err := s.check(p, 0); err != nil {
		return 0, err
	}
	full := s.full()
	if err := between("content", "L", float64(v), 0, float64(litres(full))); err != nil {
		return 0, err
	}
	depth := float64(s.depth(p))
	at := heightFor(func(wet float64) float64 { return s.below(p, wet) }, depth, float64(v)*cubicCentimetresPerLitre)
	return Centimetres(at), nil
}

// below is the volume in cm³ under a level that was checked. A vessel that is
// more than half full holds what is full less its own image upside down.
func (s Shape) below(p Position, wet float64) float64 {
	depth := float64(s.depth(p))
	if wet > depth/2 {
		return s.full() - s.below(p, depth-wet)
	}
	if p == Standing {
		return s.disks(1-2*wet/depth, 1)
	}
	gap := depth/2 - wet // from the axis down to the liquid
	return float64(s.Length) * toEdge(s.reach(gap), func(z float64) float64 {
		r, _ := s.radius(z)
		return segment(r, gap)
	})
}

// segment is the area of a circle of radius r beyond a chord that passes the
// centre at a distance d, 0 to r: r²·a - d·√(r² - d²), a being half the angle
// that it is seen under from the centre. Where that is a small difference of
// large numbers, a series of a - sin a·cos a stands for it.
func segment(r, d float64) float64 {
	if d >= r {
		return 0
	}
	half := math.Sqrt((r - d) * (r + d)) // of the chord
	a := math.Atan2(half, d)
	if a > 0.05 {
		return r*r*a - d*half
	}
	s := 4 * a * a
	return r * r * a * s / 6 * (1 - s/20*(1-s/42*(1-s/72)))
}
