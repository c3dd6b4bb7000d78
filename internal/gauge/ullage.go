package gauge

// Ullage is the dry part measured from above: from the bung of a lying cask or
// the head of a standing one down to the liquid.
type Ullage struct {
	Shape    Shape       `json:"shape"`
	Position Position    `json:"position"`
	Capacity Capacity    `json:"capacity"`
	Dry      Centimetres `json:"dry_cm"` // from where the rule rests
	DrySD    Centimetres `json:"dry_sd_cm"`
	// Wood is how far above the inside the rule rests: the thickness of the
	// stave or head when it lies on the outside, 0 when it is held inside.
	Wood Centimetres `json:"wood_cm"` // 0 to 20 cm
}

// ByUllage returns the content of a cask of which only the measures are known,
// from the dry depth inside, with the usual uncertainties.
func ByUllage(s Shape, p Position, dry Centimetres, l Liquid) (Measured, error) {
	capacity, err := s.Figured()
	if err != nil {
		return Measured{}, err
	}
	return Ullage{Shape: s, Position: p, Capacity: capacity, Dry: dry, DrySD: UsualDipSD}.Content(l)
}

// Content returns what the ullage leaves, brought to 20 °C.
func (u Ullage) Content(l Liquid) (Measured, error) {
	if err := u.Shape.check(u.Position, 0); err != nil {
		return Measured{}, err
	}
	depth := u.Shape.depth(u.Position)
	for _, err := range []error{
		between("thickness of the wood", "cm", float64(u.Wood), 0, 20),
		between("ullage of a "+string(u.Position)+" cask", "cm", float64(u.Dry), float64(u.Wood), float64(depth+u.Wood)),
	} {
		if err != nil {
			return Measured{}, err
		}
	}
	// Adding and taking away the wood may leave a trace below zero at the bottom.
	wet := min(depth, max(0, depth+u.Wood-u.Dry))
	d := Dip{Shape: u.Shape, Position: u.Position, Capacity: u.Capacity, Wet: wet, WetSD: u.DrySD}
	return d.content(FromUllage, l)
}
