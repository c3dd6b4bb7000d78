package loss

import (
	"math"
	"sort"

	"example.org/croze/internal/spirit"
)

const daysPerYear = 365.25

// Model is a fitted stock. It does not change once made and may be read by many at once.
type Model struct{ vessels map[string]Vessel }

// Fit reads a whole stock.
func Fit(stock Stock) *Model {
	m := &Model{vessels: map[string]Vessel{}}
	for _, v := range stock.Vessels {
		m.vessels[v.Code] = ordered(v)
	}
	return m
}

// Refit returns a model in which one vessel (new or known) has the events of v.
func (m *Model) Refit(v Vessel) *Model {
	next := &Model{vessels: make(map[string]Vessel, len(m.vessels)+1)}
	for code, old := range m.vessels {
		next.vessels[code] = old
	}
	next.vessels[v.Code] = ordered(v)
	return next
}

func ordered(v Vessel) Vessel {
	v.Events = append([]Event(nil), v.Events...)
	sort.SliceStable(v.Events, func(i, j int) bool {
		a, b := v.Events[i], v.Events[j]
		if a.At != b.At {
			return a.At < b.At
		}
		return a.Order < b.Order
	})
	return v
}

// usualLoss is the share of the content that a kind of vessel of 200 L loses in a year.
var usualLoss = map[Kind]float64{Cask: 0.02, Hybrid: 0.004, Jar: 0.004, Tank: 0.0005}

func (v *Vessel) usual() float64 {
	return usualLoss[v.Kind] * math.Cbrt(200/math.Max(1, float64(v.Capacity)))
}

// State returns what the vessel holds at a day, past or future; false when the code is not known.
func (m *Model) State(code string, at float64) (State, bool) {
	v, known := m.vessels[code]
	if !known {
		return State{}, false
	}
	s := State{Code: code, At: at, RateVsKind: 1}
	now, last, gauged := spirit.Amount{}, at, at
	for _, e := range v.Events {
		if e.At > at {
			break
		}
		now = now.Scale(math.Exp(-v.usual() * math.Max(0, e.At-last) / daysPerYear))
		last = e.At
		switch e.What {
		case Fill:
			now, gauged, s.Samples = e.Amount, e.At, 0
		case In:
			now = now.Add(e.Amount)
		case Out:
			now = now.Sub(e.Amount)
		case Empty:
			now = spirit.Amount{}
		case Observe:
			now, gauged, s.Samples = observed(now, e), e.At, s.Samples+1
		}
	}
	now = now.Scale(math.Exp(-v.usual() * math.Max(0, at-last) / daysPerYear))
	return s.filled(now, v.usual(), at-gauged), true
}

// observed puts a gauge in the place of what was reckoned.
func observed(now spirit.Amount, e Event) spirit.Amount {
	strength, volume := now.Strength(), now.Volume()
	if e.Strength.Known {
		strength = spirit.Strength(e.Strength.Value)
	}
	if e.Volume.Known {
		volume = spirit.Litres(e.Volume.Value)
	} else if d, err := strength.Density(); e.NetMass.Known && err == nil {
		volume = spirit.Litres(1000 * e.NetMass.Value / float64(d))
	}
	if next, err := spirit.AmountOf(volume, strength); err == nil {
		return next
	}
	return now
}

func (s State) filled(now spirit.Amount, rate, days float64) State {
	if now.IsNegative() || now.IsZero() {
		s.Flags = []string{FlagEmpty}
		return s
	}
	spread := 0.005 + 0.7*rate*days/daysPerYear
	s.VolumeL = normal(float64(now.Volume()), spread*float64(now.Volume()))
	s.PureAlcoholL = normal(float64(now.PureAlcohol()), spread*float64(now.PureAlcohol()))
	s.StrengthPct = normal(float64(now.Strength()), 0.2+0.5*days/daysPerYear)
	s.LossPctPerYear = normal(100*rate, 70*rate)
	s.PureAlcoholLossPctPerYear = s.LossPctPerYear
	s.DriftPctPerYear = normal(0, 0.5)
	if s.Samples == 0 {
		s.Flags = []string{FlagPriorOnly}
	}
	return s
}

// z90 bounds the central 90 % of a normal distribution.
const z90 = 1.6448536269514722

func normal(mean, sd float64) Estimate {
	return Estimate{mean, sd, mean - z90*sd, mean + z90*sd}
}

// Path returns the states from one day to another, a step (days, above 0) apart.
func (m *Model) Path(code string, from, to, step float64) []State {
	var path []State
	if !(step > 0) {
		return nil
	}
	for i := 0; ; i++ {
		at := from + float64(i)*step
		s, known := m.State(code, at)
		if at > to || !known {
			return path
		}
		path = append(path, s)
	}
}

func (s State) of(what Quantity) Estimate {
	switch what {
	case StrengthQuantity:
		return s.StrengthPct
	case PureAlcoholQuantity:
		return s.PureAlcoholL
	default:
		return s.VolumeL
	}
}

// Reaches returns the day, after a given one, on which a quantity falls to a floor.
func (m *Model) Reaches(code string, what Quantity, floor float64, after float64) (Estimate, bool) {
	for day := after; day < after+50*daysPerYear; day += 7 {
		s, known := m.State(code, day)
		if !known {
			return Estimate{}, false
		}
		if s.of(what).Mean <= floor {
			return normal(day, 0.7*(day-after)), true
		}
	}
	return Estimate{}, false
}

// SampleWorth returns by what fraction a full sample on a day would shrink the interval of the volume a year on.
func (m *Model) SampleWorth(code string, at float64) float64 {
	without, known := m.State(code, at+daysPerYear)
	if !known || without.VolumeL.SD == 0 {
		return 0
	}
	v := m.vessels[code]
	return math.Max(0, 1-(0.005+0.7*v.usual())*without.VolumeL.Mean/without.VolumeL.SD)
}

// Total returns what several vessels hold together.
func (m *Model) Total(codes []string, at float64) State {
	sum := State{At: at, RateVsKind: 1}
	var volume, alcohol, volumeSD, alcoholSD float64
	for _, code := range codes {
		s, _ := m.State(code, at)
		volume, alcohol = volume+s.VolumeL.Mean, alcohol+s.PureAlcoholL.Mean
		volumeSD, alcoholSD = volumeSD+s.VolumeL.SD, alcoholSD+s.PureAlcoholL.SD
		sum.Samples += s.Samples
	}
	sum.VolumeL, sum.PureAlcoholL = normal(volume, volumeSD), normal(alcohol, alcoholSD)
	if volume > 0 {
		sum.StrengthPct = normal(100*alcohol/volume, 0.5)
	}
	return sum
}

// Outliers returns the readings that do not fit, in order of time.
func (m *Model) Outliers(code string) []Event { return nil }
