package gauge

import (
	"math"

	"example.org/croze/internal/spirit"
)

// Staves are pieces of wood that stand in a jar on their ends.
type Staves struct {
	Count     int         `json:"count"`     // 0 to 1000
	Length    Centimetres `json:"length_cm"` // each 0.1 to 300 cm
	Width     Centimetres `json:"width_cm"`
	Thickness Centimetres `json:"thickness_cm"`
}

// Check refuses staves that are none, and names the measure. No staves at all
// need no measures.
func (s Staves) Check() error {
	if s.Count == 0 {
		return nil
	}
	for _, err := range []error{
		between("count of staves", "staves", float64(s.Count), 0, 1000),
		between("stave length", "cm", float64(s.Length), 0.1, 300),
		between("stave width", "cm", float64(s.Width), 0.1, 300),
		between("stave thickness", "cm", float64(s.Thickness), 0.1, 300),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

// Area returns the surface of all staves, their six faces each.
func (s Staves) Area() (SquareMetres, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	l, w, h := float64(s.Length), float64(s.Width), float64(s.Thickness)
	return squareMetres(float64(s.Count) * 2 * (l*w + l*h + w*h)), nil
}

// Volume returns the room that all staves take.
func (s Staves) Volume() (spirit.Litres, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	return litres(s.below(float64(s.Length))), nil
}

// below is the room in cm³ that the staves take under a level.
func (s Staves) below(level float64) float64 {
	return float64(s.Count) * float64(s.Width*s.Thickness) * math.Min(level, float64(s.Length))
}
