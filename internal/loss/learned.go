package loss

import (
	"math"
	"sort"
)

// Learned is one setting of the model, as the stock has shown it. Settings that
// are positive by nature are given as they are, not as logarithms.
type Learned struct {
	Name, Place string  // Place: where it holds, "" everywhere
	Usual       float64 // what would be taken without any sample
	Value       float64 // what the stock says
	Low, High   float64 // between which nine in ten of the possible values lie
}

// Settings returns what the whole stock has shown: how far its gauges err, how
// fast its wood breathes, how vessels differ. docs/estimator.md explains each.
func (m *Model) Settings() []Learned {
	places := make([]string, len(m.places))
	for name, i := range m.places {
		places[i] = name
	}
	var out []Learned
	for i, s := range settingsOf(m.airs, m.woods) {
		l := Learned{Name: s.name, Usual: s.plain(s.mean), Value: s.plain(m.best.at[i])}
		if place := (i - commonSettings) / settingsOfAPlace; i >= commonSettings && place < len(places) {
			l.Place = places[place]
		}
		l.Low, l.High = m.rangeOf(i, &s)
		out = append(out, l)
	}
	return out
}

func (s *setting) plain(x float64) float64 {
	if s.log {
		return math.Exp(x)
	}
	return x
}

// rangeOf spans the middle nine tenths of the drawn values of a setting.
func (m *Model) rangeOf(i int, s *setting) (low, high float64) {
	values := make([]float64, len(m.drawn))
	for k, h := range m.drawn {
		values[k] = h.at[i]
	}
	sort.Float64s(values)
	cut := len(values) / 20
	return s.plain(values[cut]), s.plain(values[len(values)-1-cut])
}
