package gauge

// Lengths and areas as a rod and a tape give them.
type (
	// Centimetres is a length, inside the vessel unless it is said otherwise.
	Centimetres float64
	// Inches is the same in inches of 2.54 cm.
	Inches float64
	// SquareMetres is an area.
	SquareMetres float64
)

// Centimetres converts from inches.
func (i Inches) Centimetres() Centimetres { return Centimetres(i * 2.54) }

// Inches converts to inches.
func (c Centimetres) Inches() Inches { return Inches(c / 2.54) }

const (
	cubicCentimetresPerLitre        = 1000
	squareCentimetresPerSquareMetre = 1e4
)
