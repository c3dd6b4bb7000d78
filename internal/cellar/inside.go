package cellar

import "example.org/croze/internal/gauge"

// Inside is the measured inside of a vessel, so that a dip, an ullage or a
// level says what is in it. A cask or tank has a shape and a position, a jar
// has its own.
type Inside struct {
	Shape    *gauge.Shape   `json:"shape,omitempty"`
	Position gauge.Position `json:"position,omitempty"`
	Jar      *gauge.Jar     `json:"jar,omitempty"`
	Staves   *gauge.Staves  `json:"staves,omitempty"`
}

// check holds the inside to a shape that there can be.
func (in *Inside) check() error {
	switch {
	case in == nil:
		return nil
	case in.Shape != nil && in.Jar != nil:
		return invalid("inside", nil, "a vessel is a cask or a jar, not both")
	case in.Shape != nil:
		if in.Position != gauge.Lying && in.Position != gauge.Standing {
			return invalid("position", in.Position, "use lying or standing")
		}
		if err := in.Shape.Check(); err != nil {
			return invalid("inside", nil, "%v", err)
		}
	case in.Jar != nil:
		if err := in.Jar.Check(); err != nil {
			return invalid("inside", nil, "%v", err)
		}
	}
	if in.Staves != nil {
		if err := in.Staves.Check(); err != nil {
			return invalid("staves", nil, "%v", err)
		}
	}
	return nil
}

// wallArea is the wood in touch with spirit when the vessel is full, m², if
// the measures say it: the walls of a cask, one head of a hybrid, the staves of a jar.
func (v Vessel) wallArea() float64 {
	in := v.Inside
	switch {
	case in == nil:
		return 0
	case v.Kind == Jar && in.Staves != nil:
		area, err := in.Staves.Area()
		if err != nil {
			return 0
		}
		return float64(area)
	case in.Shape != nil:
		walls, err := in.Shape.Walls()
		if err != nil {
			return 0
		}
		if v.Kind == Hybrid {
			return float64(walls.Heads) / 2
		}
		return float64(walls.Total())
	}
	return 0
}

// WoodArea is the wood in touch with spirit, m²: as stated, else from the
// measures; 0 if neither is known.
func (v Vessel) WoodArea() float64 {
	if v.WoodAreaM2 > 0 || !v.Kind.Wooden() {
		return v.WoodAreaM2
	}
	return v.wallArea()
}

// capacity is the vessel's capacity as a gauge takes it: what is registered
// holds over what the tape gives.
func (v Vessel) capacity() gauge.Capacity {
	const uncertain = 0.01 // of a registered capacity, common practice
	return gauge.Capacity{Volume: v.CapacityL, SD: v.CapacityL * uncertain}
}
