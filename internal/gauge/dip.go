package gauge

// UsualDipSD is the standard uncertainty taken for a rod's wet mark, cm. Common practice.
const UsualDipSD Centimetres = 0.3

// Dip is a rod put to the bottom of a cask and read where it is wet. Lying, it
// goes through the bung, at the widest place; standing, through the head.
type Dip struct {
	Shape    Shape       `json:"shape"`
	Position Position    `json:"position"`
	Capacity Capacity    `json:"capacity"` // Shape.Figured() if it was never measured
	Wet      Centimetres `json:"wet_cm"`   // 0 to the bung diameter (lying) or the length (standing)
	WetSD    Centimetres `json:"wet_sd_cm"`
}

// ByDip returns the content of a cask of which only the measures are known,
// with the usual uncertainties of rod and shape.
func ByDip(s Shape, p Position, wet Centimetres, l Liquid) (Measured, error) {
	capacity, err := s.Figured()
	if err != nil {
		return Measured{}, err
	}
	return Dip{Shape: s, Position: p, Capacity: capacity, Wet: wet, WetSD: UsualDipSD}.Content(l)
}

// Content returns what the dip found, brought to 20 °C. Wood and steel are
// taken not to grow with temperature.
func (d Dip) Content(l Liquid) (Measured, error) { return d.content(FromDip, l) }

func (d Dip) content(by Method, l Liquid) (Measured, error) {
	for _, err := range []error{
		d.Shape.check(d.Position, d.Wet),
		checkSD("the dip", "cm", float64(d.WetSD)),
		d.Capacity.check(),
	} {
		if err != nil {
			return Measured{}, err
		}
	}
	below := func(h float64) float64 { return d.Shape.below(d.Position, h) }
	v, sd := d.Capacity.filled(below, d.Shape.full(), float64(d.Wet), float64(d.WetSD), float64(d.Shape.depth(d.Position)))
	return VolumeContent(by, v, sd, l)
}
