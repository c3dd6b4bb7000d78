package cellar

import (
	"fmt"

	"example.org/croze/internal/spirit"
)

// readWith is how a strength was read.
type readWith struct {
	scale       string
	stem        spirit.Hydrometer
	hydrometer  Instrument // zero unless registered
	thermometer Instrument // zero unless registered
	certified   bool       // the hydrometer is registered
}

// words says the corrections in a sentence.
func (r readWith) words() string {
	words := fmt.Sprintf("temperature and glass to 20 °C, instrument made for %s °C", trimmed(float64(r.stem.Base)))
	if r.certified {
		words = fmt.Sprintf("certificate of %s (%+.2f), ", r.hydrometer.From, r.hydrometer.Add) + words
	}
	if r.thermometer.Name != "" {
		words += fmt.Sprintf(", thermometer %s (%+.2f °C)", r.thermometer.Name, r.thermometer.Add)
	}
	return words
}

// howRead finds the instruments that a request names. A registered hydrometer
// brings its own scale and base temperature; a name that is not registered is
// kept as words.
func (w *resolution) howRead() (readWith, error) {
	how := readWith{scale: scaleName(w.Scale)}
	var err error
	if how.hydrometer, how.certified, err = w.instrumentOf("instrument", w.Instrument, HydrometerKind); err != nil {
		return how, err
	}
	if how.thermometer, _, err = w.instrumentOf("thermometer", w.Thermometer, ThermometerKind); err != nil {
		return how, err
	}
	if how.certified {
		how.scale = how.hydrometer.Scale
		how.stem.Base = how.hydrometer.BaseC
	}
	if how.stem.Scale, err = spirit.ParseScale(how.scale); err != nil {
		return how, invalid("scale", w.Scale, "use vol, proof, density or sg")
	}
	if !how.certified {
		how.stem.Base, err = w.glass(how.stem.Scale)
	}
	return how, err
}

// glass is what an instrument that is not registered was made for.
func (w *resolution) glass(scale spirit.Scale) (spirit.Celsius, error) {
	switch {
	case w.GlassC != nil:
		base := spirit.Celsius(*w.GlassC)
		if !(base >= 0 && base <= spirit.WarmestLiquid) {
			return 0, invalid("glass_c", trimmed(*w.GlassC), "an instrument is made for 0 to 40 °C, as a rule 20 or 15.56")
		}
		return base, nil
	case scale == spirit.ScaleProof:
		return spirit.ProofBase, nil
	}
	return spirit.Reference, nil
}

// instrumentOf finds a registered instrument by name, with the certificate of
// the day. A name that is known as another kind is refused.
func (w *resolution) instrumentOf(field, name string, kind InstrumentKind) (Instrument, bool, error) {
	if name == "" {
		return Instrument{}, false, nil
	}
	i, known := w.State.InstrumentOn(name, DayOf(w.When))
	if known && i.Kind != kind {
		return Instrument{}, false, invalid(field, name, "that is a %s", i.Kind)
	}
	if !known {
		return Instrument{}, false, CheckName(field, name)
	}
	return i, true, nil
}
