package gauge

import (
	"math"

	"example.org/croze/internal/spirit"
)

// Jar is the inside of a standing glass vessel: a straight body, a rounded
// shoulder (a quarter of an ellipse) and a straight neck. A plain cylinder has
// no shoulder and no neck.
type Jar struct {
	Body           Centimetres `json:"body_cm"`            // diameter of the body, 1 to 200 cm
	BodyHeight     Centimetres `json:"body_height_cm"`     // floor to shoulder, 1 to 300 cm
	ShoulderHeight Centimetres `json:"shoulder_height_cm"` // 0 to 100 cm
	Neck           Centimetres `json:"neck_cm"`            // diameter of the neck, not above Body; matters only with a shoulder or neck
	NeckHeight     Centimetres `json:"neck_height_cm"`     // 0 to 100 cm
}

// Check refuses a jar that is none, and names the measure.
func (j Jar) Check() error {
	for _, err := range []error{
		between("body diameter", "cm", float64(j.Body), 1, 200),
		between("body height", "cm", float64(j.BodyHeight), 1, 300),
		between("shoulder height", "cm", float64(j.ShoulderHeight), 0, 100),
		between("neck height", "cm", float64(j.NeckHeight), 0, 100),
		between("neck diameter", "cm", float64(j.Neck), 0, float64(j.Body)),
	} {
		if err != nil {
			return err
		}
	}
	if j.ShoulderHeight+j.NeckHeight > 0 {
		return between("neck diameter of a jar with a shoulder or neck", "cm", float64(j.Neck), 0.5, float64(j.Body))
	}
	return nil
}

// Height is floor to brim.
func (j Jar) Height() Centimetres { return j.BodyHeight + j.ShoulderHeight + j.NeckHeight }

// Volume returns what the jar holds when brim-full.
func (j Jar) Volume() (spirit.Litres, error) { return j.Content(j.Height()) }

// Content returns the volume below a level, 0 to the height.
func (j Jar) Content(level Centimetres) (spirit.Litres, error) {
	if err := j.Check(); err != nil {
		return 0, err
	}
	if err := between("level in a jar", "cm", float64(level), 0, float64(j.Height())); err != nil {
		return 0, err
	}
	return litres(j.below(float64(level))), nil
}

// Level is the inverse of Content.
func (j Jar) Level(v spirit.Litres) (Centimetres, error) {
	full, err := j.Volume()
	if err != nil {
		return 0, err
	}
	if err := between("content", "L", float64(v), 0, float64(full)); err != nil {
		return 0, err
	}
	return Centimetres(heightFor(j.below, float64(j.Height()), float64(v)*cubicCentimetresPerLitre)), nil
}

// below is the volume in cm³ under a level that was checked.
func (j Jar) below(height float64) float64 {
	body := math.Min(height, float64(j.BodyHeight))
	height -= body
	shoulder := math.Min(height, float64(j.ShoulderHeight))
	neck := height - shoulder
	return circle(float64(j.Body))*body + j.shoulder(shoulder) + circle(float64(j.Neck))*neck
}

// shoulder is the volume of the shoulder up to a height above the body. With
// u the part of its own height, the radius is n + d·√(1 - u²), n the neck's and
// d what the body is wider by; its square is summed in closed form.
func (j Jar) shoulder(height float64) float64 {
	if height <= 0 {
		return 0
	}
	n := float64(j.Neck) / 2
	d := float64(j.Body)/2 - n
	u := math.Min(1, height/float64(j.ShoulderHeight))
	arc := u*math.Sqrt(1-u*u) + math.Asin(u)
	return math.Pi * float64(j.ShoulderHeight) * (n*n*u + n*d*arc + d*d*(u-u*u*u/3))
}

func circle(diameter float64) float64 { return math.Pi / 4 * diameter * diameter }
