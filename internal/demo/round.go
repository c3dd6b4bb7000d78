package demo

import (
	"math"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// How the keeper makes rounds.
const (
	daysBetweenRounds = 30
	firstLookAfter    = 20   // days from a fill
	forgets           = 0.06 // of the samples that are due
)

// round walks through each place whose day it is.
func (t *telling) round() {
	for _, r := range rooms {
		if t.rounds[r.name] != t.ago {
			continue
		}
		t.rounds[r.name] -= daysBetweenRounds - 3 + t.lots.IntN(7)
		for _, v := range t.vessels {
			if v.place == r.name && t.due(v) && t.lots.Float64() >= forgets {
				t.tell(t.look(v), t.sampler(v))
			}
		}
	}
}

// due says whether a vessel is to be looked at in this round.
func (t *telling) due(v *vessel) bool {
	if v.empty() || t.ago < 2 {
		return false
	}
	since := v.lastLook - t.ago
	if v.looks == 0 {
		return since >= firstLookAfter
	}
	return since >= v.months*daysBetweenRounds-12
}

// sampler is who takes the sample: the apprentice does some of the small ones.
func (t *telling) sampler(v *vessel) string {
	if v.CapacityL <= 30 && t.lots.Float64() < 0.4 {
		return apprentice
	}
	return keeper
}

// look takes a sample in the vessel's own way.
func (t *telling) look(v *vessel) cellar.Request {
	s := cellar.Request{Entry: "sample", Vessel: v.Code}
	way := v.habit
	if way == minds {
		way = tastes
		if v.looks%3 == 2 {
			way = weighs
		}
	}
	switch way {
	case weighs:
		t.corrected(v, &s)
		t.weighed(v, &s)
	case dips:
		temperature := t.read(v, &s)
		t.dipped(v, temperature, &s)
	case reads:
		t.read(v, &s)
	case proofs:
		t.readProof(v, &s)
	case dries:
		t.readDried(v, &s)
	default:
		t.corrected(v, &s)
	}
	t.taste(v, &s)
	v.lastLook, v.looks = t.ago, v.looks+1
	return s
}

// taste takes a little out, and now and then says what it was like.
func (t *telling) taste(v *vessel, s *cellar.Request) {
	drawn := 0.1
	if v.CapacityL <= 60 {
		drawn = 0.05
	}
	if v.CapacityL <= 10 {
		drawn = 0.03
	}
	s.DrawnL = number(drawn)
	t.give(v, drawn)
	if t.lots.Float64() < 0.15 {
		s.Senses = t.senses(v)
	}
}

// gauge measures a vessel with care, before something is done with it, and
// returns what the books will then have: litres at 20 °C and % vol.
func (t *telling) gauge(v *vessel, note string) (litres, strength float64) {
	s := cellar.Request{Entry: "sample", Vessel: v.Code, Note: note}
	t.corrected(v, &s)
	strength = *s.StrengthPct
	if v.TareKg > 0 {
		t.weighed(v, &s)
		litres = netVolume(*s.GrossKg-float64(v.TareKg), strength)
	} else {
		truth, shown := t.bench.thermometer(t.weather.in(v.place))
		t.dipped(v, truth, &s)
		s.TempC = number(shown)
		at20, err := spirit.VolumeFrom(spirit.Litres(*s.VolumeL), spirit.Strength(strength), spirit.Celsius(shown), spirit.Reference)
		if err != nil {
			t.fail("gauging %s: %w", v.key, err)
		}
		litres = float64(at20)
	}
	t.tell(s, keeper)
	return litres, strength
}

// netVolume is the volume of a weight in air; NaN where there is none.
func netVolume(kg, strength float64) float64 {
	d, err := spirit.Strength(strength).Density()
	if err != nil {
		return math.NaN()
	}
	m, err := spirit.MassOfWeighed(spirit.Kilograms(kg), d)
	if err != nil {
		return math.NaN()
	}
	return 1000 * float64(m) / float64(d)
}
