package gauge

import (
	"math"

	"example.org/croze/internal/spirit"
)

// Walls is the inner surface of a vessel, or the part of it that is wet. They
// are kept apart because a steel body with a wooden head breathes by the head.
type Walls struct {
	Body  SquareMetres // the staves, or the shell
	Heads SquareMetres // both ends together
}

// Total is body and heads together.
func (w Walls) Total() SquareMetres { return w.Body + w.Heads }

// Walls returns the whole inner surface.
func (s Shape) Walls() (Walls, error) {
	if err := s.Check(); err != nil {
		return Walls{}, err
	}
	return s.walls(), nil
}

// WettedWalls returns the surface below a level, as Content counts it. A head
// on which a cask stands is wet as soon as there is anything in it.
func (s Shape) WettedWalls(p Position, wet Centimetres) (Walls, error) {
	if err := s.check(p, wet); err != nil {
		return Walls{}, err
	}
	return s.wetted(p, float64(wet)), nil
}

// WettedAt returns the surface that is wet when the vessel is full to a part
// of its volume, 0 to 1.
func (s Shape) WettedAt(p Position, fill float64) (Walls, error) {
	if err := between("fill", "of the volume", fill, 0, 1); err != nil {
		return Walls{}, err
	}
	full, err := s.Volume()
	if err != nil {
		return Walls{}, err
	}
	if fill == 1 {
		return s.walls(), nil // the level is not found to the last digit where the cask narrows
	}
	wet, err := s.Dip(p, full*spirit.Litres(fill))
	if err != nil {
		return Walls{}, err
	}
	return s.WettedWalls(p, wet)
}

func (s Shape) walls() Walls {
	h := float64(s.Head) / 2
	return Walls{Body: squareMetres(2 * s.hoops(0, 1)), Heads: squareMetres(2 * math.Pi * h * h)}
}

// wetted mirrors a vessel that is more than half full, as below does.
func (s Shape) wetted(p Position, wet float64) Walls {
	depth := float64(s.depth(p))
	if p == Standing {
		return s.wettedStanding(wet)
	}
	if wet > depth/2 {
		all, dry := s.walls(), s.wetted(p, depth-wet)
		return Walls{Body: all.Body - dry.Body, Heads: all.Heads - dry.Heads}
	}
	gap := depth/2 - wet
	body := float64(s.Length) * toEdge(s.reach(gap), func(z float64) float64 {
		r, slope := s.radius(z)
		arc := 2 * r * math.Acos(math.Min(1, gap/r))
		return arc * math.Hypot(1, slope)
	})
	return Walls{Body: squareMetres(body), Heads: squareMetres(2 * segment(float64(s.Head)/2, gap))}
}

func (s Shape) wettedStanding(wet float64) Walls {
	all := s.walls()
	switch length := float64(s.Length); {
	case wet == 0:
		return Walls{}
	case wet == length:
		return all
	case wet > length/2:
		return Walls{Body: all.Body - squareMetres(s.hoops(2*wet/length-1, 1)), Heads: all.Heads / 2}
	default:
		return Walls{Body: squareMetres(s.hoops(1-2*wet/length, 1)), Heads: all.Heads / 2}
	}
}

// hoops adds up the body of one half between two z, in cm².
func (s Shape) hoops(from, to float64) float64 {
	return float64(s.Length) / 2 * integrate(from, to, func(z float64) float64 {
		r, slope := s.radius(z)
		return 2 * math.Pi * r * math.Hypot(1, slope)
	})
}

func squareMetres(squareCentimetres float64) SquareMetres {
	return SquareMetres(squareCentimetres / squareCentimetresPerSquareMetre)
}
