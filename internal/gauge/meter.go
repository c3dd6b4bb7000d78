package gauge

import "example.org/croze/internal/spirit"

// UsualMeterSD is the standard uncertainty taken for a flow meter, as a part of
// what it shows. Common practice, not a certificate.
const UsualMeterSD = 0.005

// Meter is what a flow meter showed while the whole content went through it,
// at the temperature of the liquid in it.
type Meter struct {
	Shown      spirit.Litres `json:"shown_l"`    // 0 to 1e6 L
	Correction float64       `json:"correction"` // certificate: part of what is shown to be added, -0.2 to 0.2
	SD         float64       `json:"sd"`         // standard uncertainty, part of what is shown, 0 to 1
}

// ByMeter returns the content by a meter without a certificate.
func ByMeter(shown spirit.Litres, l Liquid) (Measured, error) {
	return Meter{Shown: shown, SD: UsualMeterSD}.Content(l)
}

// Content returns what went through the meter, brought to 20 °C.
func (m Meter) Content(l Liquid) (Measured, error) {
	for _, err := range []error{
		between("meter reading", "L", float64(m.Shown), 0, float64(LargestVolume)),
		between("correction of the meter", "of the reading", m.Correction, -0.2, 0.2),
		between("standard uncertainty of the meter", "of the reading", m.SD, 0, 1),
	} {
		if err != nil {
			return Measured{}, err
		}
	}
	v := m.Shown * spirit.Litres(1+m.Correction)
	return VolumeContent(FromMeter, v, m.Shown*spirit.Litres(m.SD), l)
}
