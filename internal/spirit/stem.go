package spirit

import (
	"errors"
	"strings"
)

// Scale says what a hydrometer's stem is marked in.
type Scale uint8

// The scales that a stem may carry.
const (
	ScaleStrength Scale = iota // % vol at the instrument's base temperature
	ScaleProof                 // US proof at 60 °F
	ScaleDensity               // kg/m³ at the instrument's base temperature
	ScaleGravity               // specific gravity: density over water's, both at the base temperature, in vacuum
)

// marks are a scale's short name, its unit and the ends of any stem that carries it.
type marks struct {
	name, unit   string
	weak, strong float64
}

var stems = [...]marks{
	ScaleStrength: {"vol", "% vol", 0, 100},
	ScaleProof:    {"proof", "°proof", 0, 200},
	ScaleDensity:  {"density", "kg/m³", 1010, 750},
	ScaleGravity:  {"sg", "sg", 1.01, 0.75},
}

// known is false for a number that is none of the scales.
func (s Scale) known() bool { return int(s) < len(stems) }

// marks of an unknown scale are those of no stem: no reading lies on it.
func (s Scale) marks() marks {
	if s.known() {
		return stems[s]
	}
	return marks{name: "unknown", unit: "of an unknown scale"}
}

// String returns the short name: vol, proof, density or sg.
func (s Scale) String() string { return s.marks().name }

// Unit returns the unit for people.
func (s Scale) Unit() string { return s.marks().unit }

var errUnknownScale = errors.New("scale of the hydrometer: it must be one of vol, proof, density, sg")

// ParseScale reads the short name of a scale, in any case.
func ParseScale(text string) (Scale, error) {
	name := strings.ToLower(strings.TrimSpace(text))
	for i, m := range stems {
		if name == m.name {
			return Scale(i), nil
		}
	}
	return 0, &ParseError{"scale", clipped(text), "it must be one of vol, proof, density, sg"}
}

// MarshalText writes the short name; a number that is none of the scales is an error.
func (s Scale) MarshalText() ([]byte, error) {
	if !s.known() {
		return nil, errUnknownScale
	}
	return []byte(s.String()), nil
}

// UnmarshalText reads the short name.
func (s *Scale) UnmarshalText(text []byte) error {
	scale, err := ParseScale(string(text))
	if err != nil {
		return err
	}
	*s = scale
	return nil
}
