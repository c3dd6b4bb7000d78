package loss

import (
	"maps"
	"slices"
	"sort"
)

const daysPerYear = 365.25

// Model is a fitted stock. It does not change once made and may be read by many at once.
type Model struct {
	best    *hyper   // the most likely settings
	drawn   []*hyper // settings drawn from what the stock leaves possible
	places  map[string]int
	airs    []*air
	woods   []string   // that are told apart
	vessels []*settled // by code
	index   map[string]int
}

// Fit reads a whole stock: it finds the settings that its vessels share, how
// sure they are, and then each vessel's own state. Codes must differ.
func Fit(stock Stock) *Model { return FitGently(stock, func() {}) }

// FitGently is Fit for who has other work that should go first: it calls pause
// between one vessel and the next, from several goroutines at once.
func FitGently(stock Stock, pause func()) *Model {
	m := &Model{places: map[string]int{}, index: map[string]int{}}
	m.openPlaces(stock)
	m.woods = woodsOf(stock.Vessels)
	histories := m.histories(stock.Vessels)
	m.best, m.drawn = settingsFor(histories, settingsOf(m.airs, m.woods), pause)
	m.vessels = make([]*settled, len(histories))
	inParallel(len(histories), pause, func(i int) { m.vessels[i] = settle(histories[i], m.best, m.drawn) })
	for i, h := range histories {
		m.index[h.vessel.Code] = i
	}
	return m
}

// openPlaces lists the places that vessels stand in, by name.
func (m *Model) openPlaces(stock Stock) {
	climates := map[string]Climate{}
	for _, v := range stock.Vessels {
		for _, place := range v.places() {
			climates[place] = Climate{Place: place}
		}
	}
	for _, c := range stock.Places {
		if _, used := climates[c.Place]; used {
			climates[c.Place] = c
		}
	}
	names := make([]string, 0, len(climates))
	for name := range climates {
		names = append(names, name)
	}
	sort.Strings(names)
	for i, name := range names {
		m.places[name] = i
		m.airs = append(m.airs, newAir(climates[name]))
	}
}

func (m *Model) histories(vessels []Vessel) []*history {
	list := append([]Vessel(nil), vessels...)
	sort.SliceStable(list, func(i, j int) bool { return list[i].Code < list[j].Code })
	out := make([]*history, len(list))
	inParallel(len(list), func() {}, func(i int) { out[i] = m.history(list[i]) })
	return out
}

func (m *Model) history(v Vessel) *history {
	wood := -1
	if i, told := slices.BinarySearch(m.woods, v.Wood); told {
		wood = commonSettings + settingsOfAPlace*len(m.airs) + i
	}
	return newHistory(v, m.stays(&v), wood)
}

// Refit returns a model in which some vessels, new or known, have the events
// given here. The settings of the stock stay as they were. Codes must differ.
func (m *Model) Refit(vessels ...Vessel) *Model {
	next := *m
	next.vessels = append(make([]*settled, 0, len(m.vessels)+len(vessels)), m.vessels...)
	read := make([]*settled, len(vessels))
	inParallel(len(vessels), func() {}, func(i int) { read[i] = settle(m.history(vessels[i]), m.best, m.drawn) })
	shared := true
	for i, v := range vessels {
		if at, known := next.index[v.Code]; known {
			next.vessels[at] = read[i]
			continue
		}
		if shared {
			next.index, shared = maps.Clone(m.index), false
		}
		next.index[v.Code] = len(next.vessels)
		next.vessels = append(next.vessels, read[i])
	}
	return &next
}

func (m *Model) find(code string) (*settled, bool) {
	i, known := m.index[code]
	if !known {
		return nil, false
	}
	return m.vessels[i], true
}

// State returns what the vessel holds at the end of a day, past or future;
// false when the code is not known.
func (m *Model) State(code string, at float64) (State, bool) {
	s, known := m.find(code)
	if !known {
		return State{}, false
	}
	return s.states([]float64{at})[0], true
}

// States returns what every vessel holds at the end of a day, by code. It uses
// all cores.
func (m *Model) States(at float64) []State {
	order := make([]int, 0, len(m.index))
	for _, i := range m.index {
		order = append(order, i)
	}
	sort.Slice(order, func(a, b int) bool {
		return m.vessels[order[a]].history.vessel.Code < m.vessels[order[b]].history.vessel.Code
	})
	out := make([]State, len(order))
	inParallel(len(order), func() {}, func(k int) { out[k] = m.vessels[order[k]].states([]float64{at})[0] })
	return out
}

// mostSteps bounds a path.
const mostSteps = 5000

// Path returns the states from one day to another, a step (days, above 0)
// apart; at most 5000.
func (m *Model) Path(code string, from, to, step float64) []State {
	s, known := m.find(code)
	if !known || !(step > 0) {
		return nil
	}
	var days []float64
	for i := 0; i < mostSteps && from+float64(i)*step <= to; i++ {
		days = append(days, from+float64(i)*step)
	}
	return s.states(days)
}

// LikePath returns the path that a vessel would be reckoned to take had nobody
// gauged it since its fills: the band of its like, to lay behind its own.
func (m *Model) LikePath(code string, from, to, step float64) []State {
	s, known := m.find(code)
	if !known {
		return nil
	}
	v := s.history.vessel
	v.Events = nil
	for _, e := range s.history.vessel.Events {
		if e.What != Observe {
			v.Events = append(v.Events, e)
		}
	}
	return m.Refit(v).Path(code, from, to, step)
}

// Outliers returns the events of which a reading was set aside as a slip, in order of time.
func (m *Model) Outliers(code string) []Event {
	s, known := m.find(code)
	if !known {
		return nil
	}
	var out []Event
	for _, i := range s.slips {
		out = append(out, s.history.vessel.Events[i])
	}
	return out
}
