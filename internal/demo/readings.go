package demo

import (
	"math"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

func (t *telling) corrected(v *vessel, s *cellar.Request) {
	s.StrengthPct = number(t.bench.strength(v.in))
}

// read takes an alcoholometer's reading and returns how warm the liquid truly was.
func (t *telling) read(v *vessel, s *cellar.Request) float64 {
	truth, shown := t.bench.thermometer(t.weather.in(v.place))
	s.ReadingPct, s.TempC = number(t.shows(v, alcoholometer, truth, 0)), number(shown)
	s.Instrument = stem
	return truth
}

// readProof reads the old hydrometer, which is marked in US proof.
func (t *telling) readProof(v *vessel, s *cellar.Request) {
	truth, shown := t.bench.thermometer(t.weather.in(v.place))
	s.ReadingPct, s.TempC = number(t.shows(v, proofHydrometer, truth, 0)), number(shown)
	s.Scale, s.Instrument = "proof", "hydrometer 80 to 140 proof"
}

// readDried reads the alcoholometer, in spirit whose solids hide a little of
// its strength, and dries a sample to say how much.
func (t *telling) readDried(v *vessel, s *cellar.Request) {
	truth, shown := t.bench.thermometer(t.weather.in(v.place))
	residue := 0.32 * (1 - math.Exp(-float64(v.looks+1)/4)) // g/100 mL: the staves give less and less
	s.ReadingPct, s.TempC = number(t.shows(v, alcoholometer, truth, residue)), number(shown)
	s.Residue, s.Instrument = number(rounded(residue+t.bench.off(0.008), 0.01)), stem
}

// shows is what an instrument shows in the vessel's liquid.
func (t *telling) shows(v *vessel, h spirit.Hydrometer, tempC, residue float64) float64 {
	reading, err := t.bench.float(h, v.in, tempC, residue)
	if err != nil {
		t.fail("reading %s: %w", v.key, err)
	}
	if h == alcoholometer {
		reading = rounded(reading-t.stemShort(), 0.1)
	}
	return reading
}

func (t *telling) weighed(v *vessel, s *cellar.Request) {
	gross, err := t.bench.balance(v)
	if err != nil {
		t.fail("weighing %s: %w", v.key, err)
	}
	s.GrossKg = number(gross)
}

func (t *telling) dipped(v *vessel, tempC float64, s *cellar.Request) {
	volume, err := t.bench.dipRod(v, tempC)
	if err != nil {
		t.fail("dipping %s: %w", v.key, err)
	}
	s.VolumeL = number(volume)
}
