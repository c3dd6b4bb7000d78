package loss

import (
	"math"
	"sort"

	"example.org/croze/internal/spirit"
)

// actKind is one move of the reckoning.
type actKind uint8

const (
	actWait actKind = iota // time passes
	actFill
	actIn
	actOut
	actRead // one measured value
	actEmpty
	actMark // nothing happens: the state is asked for here
)

// quantity is what a reading measures.
type quantity uint8

const (
	readStrength quantity = iota
	readVolume
	readMass
)

// act is one move, made ready: climate looked up, amounts in kg.
type act struct {
	what  actKind
	at    float64 // days, at its end
	event int     // index of the event it comes from

	years, fade                 float64 // wait: its length, and what is left of a wander after it
	logRate, humidity, cos, sin float64 // wait
	place                       int     // wait: index of the place, -1: none
	sinceFill                   float64 // wait: years since the fill, at its start

	amount      content // fill, in
	taken       float64 // out: litres
	uncertainty float64 // relative, 0: usual
	strengthSD  float64 // fill, in: % vol, 0: usual
	fillNumber  int     // fill: 0 for the first

	reads     quantity
	key       int // which of all the vessel's readings it is
	value, sd float64
}

const readsPerEvent = 3

// history is a vessel made ready for reckoning.
type history struct {
	vessel   Vessel // events sorted
	traits   traits
	stays    []stay  // by time, at least one
	capacity float64 // litres
	breathes float64 // m² through which it loses
	soaks    float64 // m² of wood that drinks
	acts     []act
	volumes  int // readings of volume or weight
	readings int
	reads    [readsPerEvent]bool // which quantities are read
	stated   [readsPerEvent]bool // and whether an error of theirs is stated
}

// Wall area in m² by capacity^(2/3) in litres, where it is not given: the whole
// cask (1.9 m² at 200 L), one head, and for jars and tanks what leaks past a
// closure, in terms of wood.
var areaByKind = map[Kind]struct{ breathes, soaks float64 }{
	Cask: {0.0555, 0.0555}, Hybrid: {0.008, 0.008}, Jar: {0.003, 0.012}, Tank: {0.0004, 0},
}

// longestWait keeps a step short beside a year, in days.
const longestWait = 92

func newHistory(v Vessel, stays []stay, wood int) *history {
	h := &history{vessel: sorted(v), stays: stays, capacity: roomIn(&v)}
	area, known := areaByKind[v.Kind]
	if !known {
		area = areaByKind[Cask]
	}
	size := math.Pow(h.capacity, 2.0/3)
	h.breathes, h.soaks = area.breathes*size, area.soaks*size
	if v.WoodArea > 0 {
		h.soaks = v.WoodArea
		if v.Kind != Jar && v.Kind != Tank {
			h.breathes = v.WoodArea
		}
	}
	h.traits = traitsOf(v, stays[len(stays)-1].place, wood, h.capacity)
	h.acts = h.ready(nil, math.Inf(1))
	for _, a := range h.acts {
		if a.what == actRead {
			h.readings++
			h.reads[a.reads] = true
			h.stated[a.reads] = h.stated[a.reads] || a.sd > 0
			if a.reads != readStrength {
				h.volumes++
			}
		}
	}
	return h
}

// roomIn is the capacity, or what the vessel has been filled with if that is more.
func roomIn(v *Vessel) float64 {
	room := math.Max(0.1, float64(v.Capacity))
	for i := range v.Events {
		if v.Events[i].What == Fill {
			room = math.Max(room, float64(v.Events[i].Amount.Volume()))
		}
	}
	return room
}

func traitsOf(v Vessel, place, wood int, capacity float64) traits {
	t := traits{scaleKind: setScaleCask, soakKind: setSoakUsed, size: math.Log(capacity / 50), place: place, wood: wood}
	if v.WoodNew {
		t.isNew, t.soakKind = 1, setSoakNew
	}
	switch v.Kind {
	case Hybrid:
		t.scaleKind = setScaleHybrid
	case Jar:
		t.scaleKind, t.soakKind, t.wood = setScaleJar, setSoakJar, -1
	case Tank:
		t.scaleKind, t.soakKind, t.isNew, t.wood = setScaleTank, -1, 0, -1
	}
	return t
}

// sorted puts events in order of time; a sample comes before what was taken in the same breath.
func sorted(v Vessel) Vessel {
	v.Events = append([]Event(nil), v.Events...)
	rank := [...]int{Fill: 0, In: 1, Observe: 2, Out: 3, Empty: 4}
	key := func(e *Event) [8]float64 {
		return [8]float64{
			e.At, float64(e.Order), float64(rank[min(int(e.What), 4)]), float64(e.Amount.EthanolMg),
			float64(e.Amount.WaterMg), e.Strength.Value, e.Volume.Value, e.NetMass.Value,
		}
	}
	sort.SliceStable(v.Events, func(i, j int) bool {
		a, b := key(&v.Events[i]), key(&v.Events[j])
		for k := range a {
			if a[k] != b[k] {
				return a[k] < b[k]
			}
		}
		return false
	})
	return v
}

// ready lists the moves up to a day, with a mark at each of the days asked for (sorted).
func (h *history) ready(marks []float64, until float64) []act {
	var acts []act
	now, filled, fills := math.NaN(), math.NaN(), 0
	mark := func(before float64) {
		for len(marks) > 0 && marks[0] < before {
			acts = h.wait(acts, now, marks[0], filled)
			now = math.Max(now, marks[0])
			if math.IsNaN(now) {
				now = marks[0]
			}
			acts = append(acts, act{what: actMark, at: marks[0], event: -1})
			marks = marks[1:]
		}
	}
	for i := range h.vessel.Events {
		e := &h.vessel.Events[i]
		if e.At > until {
			break
		}
		mark(e.At)
		acts = h.wait(acts, now, e.At, filled)
		now = e.At
		if e.What == Fill {
			filled = e.At
		}
		acts = appendEvent(acts, e, i, &fills)
	}
	mark(math.Inf(1))
	return acts
}

// wait adds the steps that lead from one day to another.
func (h *history) wait(acts []act, from, to, filled float64) []act {
	if math.IsNaN(from) || math.IsNaN(filled) || !(to > from) {
		return acts
	}
	for from < to {
		until := h.movesOn(from, to)
		here := h.standing(from)
		n := int(math.Ceil((until - from) / longestWait))
		step := (until - from) / float64(n)
		for i := range n {
			start := from + float64(i)*step
			acts = append(acts, here.step(start, start+step, filled))
		}
		from = until
	}
	return acts
}

func (st *stay) step(from, to, filled float64) act {
	a := st.air
	s := act{what: actWait, at: to, event: -1, place: st.place, years: (to - from) / daysPerYear, sinceFill: (from - filled) / daysPerYear}
	s.fade = math.Exp(-s.years / wanderYears)
	s.logRate, s.humidity = a.between(from, to)
	if !a.warmths.usable() {
		s.cos, s.sin = seasonBetween(from, to)
	}
	return s
}

// seasonBetween averages the cosine and the sine of the year over a span of days.
func seasonBetween(from, to float64) (cos, sin float64) {
	const turn = 2 * math.Pi / daysPerYear
	sinFrom, cosFrom := math.Sincos(turn * from)
	sinTo, cosTo := math.Sincos(turn * to)
	span := turn * (to - from)
	return (sinTo - sinFrom) / span, (cosFrom - cosTo) / span
}

func contentOf(a spirit.Amount) content {
	return content{float64(a.Ethanol()), float64(a.Water())}
}

func appendEvent(acts []act, e *Event, index int, fills *int) []act {
	a := act{at: e.At, event: index, amount: contentOf(e.Amount), uncertainty: e.AmountSD}
	switch e.What {
	case Fill:
		a.what, a.fillNumber, a.strengthSD = actFill, *fills, e.Strength.SD
		*fills++
		return append(acts, a)
	case In:
		a.what, a.strengthSD = actIn, e.Strength.SD
		return append(acts, a)
	case Out:
		a.what, a.taken = actOut, float64(e.Amount.Volume())
		return append(acts, a)
	case Empty:
		a.what = actEmpty
		return append(acts, a)
	}
	for q, m := range [...]Measured{readStrength: e.Strength, readVolume: e.Volume, readMass: e.NetMass} {
		if m.Known && !math.IsNaN(m.Value) && !math.IsInf(m.Value, 0) {
			acts = append(acts, act{what: actRead, at: e.At, event: index, reads: quantity(q), key: index*readsPerEvent + q, value: m.Value, sd: m.SD})
		}
	}
	return acts
}
