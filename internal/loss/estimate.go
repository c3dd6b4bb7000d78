package loss

import (
	"math"
	"sort"
)

// z90 bounds the central 90 % of a normal distribution.
const z90 = 1.6448536269514722

// blend mixes the strands' views of one quantity.
func blend(views []glimpse, of func(*glimpse) moment) Estimate {
	var mean, variance, weight float64
	for i := range views {
		m := of(&views[i])
		mean += views[i].weight * m.mean
		weight += views[i].weight
	}
	mean /= weight
	for i := range views {
		m := of(&views[i])
		variance += views[i].weight / weight * (m.variance + square(m.mean-mean))
	}
	sd := math.Sqrt(math.Max(0, variance))
	return Estimate{mean, sd, mean - z90*sd, mean + z90*sd}
}

// percentile finds the value that a share of the mixture lies under.
func percentile(views []glimpse, of func(*glimpse) moment, share float64, e Estimate) float64 {
	low, high := e.Mean-6*e.SD, e.Mean+6*e.SD
	for range 30 {
		middle := (low + high) / 2
		under, weight := 0.0, 0.0
		for i := range views {
			m := of(&views[i])
			under += views[i].weight * 0.5 * math.Erfc((m.mean-middle)/math.Sqrt(2*math.Max(1e-12, m.variance)))
			weight += views[i].weight
		}
		if under < share*weight {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// blendTurns does the same where the strands tell different stories, and the mixture may have two humps.
func blendTurns(views []glimpse, of func(*glimpse) moment) Estimate {
	e := blend(views, of)
	if e.SD > 0 {
		e.Low, e.High = percentile(views, of, 0.05, e), percentile(views, of, 0.95, e)
	}
	return e
}

// states looks at a vessel on several days (rising).
func (s *settled) states(days []float64) []State {
	views := s.views(days)
	out := make([]State, len(days))
	for i, day := range days {
		out[i] = s.state(day, views[i])
	}
	return out
}

// views returns each strand's glimpses of each day.
func (s *settled) views(days []float64) [][]glimpse {
	out := make([][]glimpse, len(days))
	for i := range out {
		out[i] = make([]glimpse, 0, len(s.strands))
	}
	events := s.history.vessel.Events
	past := sort.SearchFloat64s(days, lastDay(events))
	for k := range s.strands {
		st := &s.strands[k]
		if past > 0 {
			st.lookBack(s.history, days[:past], func(i int, g glimpse) { out[i] = append(out[i], g) })
		}
		b, now := st.end, lastDay(events)
		for i := past; i < len(days); i++ {
			st.goOn(s.history, &b, now, days[i])
			now = math.Max(now, days[i])
			out[i] = append(out[i], st.glimpse(&b, days[i]))
		}
	}
	return out
}

func lastDay(events []Event) float64 {
	if len(events) == 0 {
		return math.Inf(-1)
	}
	return events[len(events)-1].At
}

// goOn carries a belief from the last event, or later, to a day.
func (st *strand) goOn(h *history, b *belief, from, to float64) {
	if !b.filled || !(to > from) {
		return
	}
	filled := from
	for i := range h.vessel.Events {
		if e := &h.vessel.Events[i]; e.What == Fill {
			filled = e.At
		}
	}
	r := st.reckoner
	r.film = nil
	var acts [64]act
	r.turn = turn{}
	r.walk(b, h.wait(acts[:0], from, to, filled), 0)
}

// lookBack sees days within the history, with hindsight.
func (st *strand) lookBack(h *history, days []float64, see func(i int, g glimpse)) {
	acts := h.ready(days, math.Inf(1))
	r := st.reckoner
	r.film = newFilm(len(acts))
	r.run(acts)
	n := len(days)
	views := make([]glimpse, n)
	r.film.backwards(acts, func(i int, b *belief, hind *hindsight) {
		if acts[i].what == actMark {
			n--
			whole := b.smoothed(hind)
			views[n] = st.glimpse(&whole, acts[i].at)
		}
	})
	for i := range views {
		see(i, views[i])
	}
}

func (s *settled) state(day float64, views []glimpse) State {
	st := State{Code: s.history.vessel.Code, At: day, Samples: s.samples(day), LeakScore: s.verdict.leak}
	if s.empty(views) {
		st.RateVsKind, st.Flags = 1, []string{FlagEmpty}
		return st
	}
	mix := blend
	if s.verdict.leak > leastChance || s.verdict.drop > leastChance {
		mix = blendTurns
	}
	st.VolumeL = mix(views, func(g *glimpse) moment { return g.volume })
	st.StrengthPct = mix(views, func(g *glimpse) moment { return g.strength })
	st.PureAlcoholL = mix(views, func(g *glimpse) moment { return g.alcohol })
	st.LossPctPerYear = mix(views, func(g *glimpse) moment { return g.loss })
	st.PureAlcoholLossPctPerYear = mix(views, func(g *glimpse) moment { return g.alcoholLoss })
	st.DriftPctPerYear = mix(views, func(g *glimpse) moment { return g.drift })
	st.RateVsKind = blend(views, func(g *glimpse) moment { return g.rate }).Mean
	st.VolumeL.hold(0, math.Inf(1))
	st.PureAlcoholL.hold(0, math.Inf(1))
	st.StrengthPct.hold(0, 100)
	st.Flags = s.flags(day, st.Samples)
	return st
}

// empty says whether the vessel holds nothing worth the name.
func (s *settled) empty(views []glimpse) bool {
	if len(views) == 0 || !views[0].filled {
		return true
	}
	volume := blend(views, func(g *glimpse) moment { return g.volume })
	return volume.Mean < 2*dregs*s.history.capacity
}

// hold keeps the bounds of an interval where they can be.
func (e *Estimate) hold(low, high float64) {
	e.Low, e.High = math.Max(low, e.Low), math.Min(high, e.High)
}

// leakAlarm is the chance from which a leak is suspected.
const leakAlarm = 0.5

// dropAlarm is that for a change of content that nobody wrote down.
const dropAlarm = 0.7

func (s *settled) flags(day float64, samples int) []string {
	var flags []string
	events := s.history.vessel.Events
	if s.verdict.leak >= leakAlarm && events[s.verdict.bestLeak.after].At <= day {
		flags = append(flags, FlagLeak)
	}
	gauged, filled := false, 0
	for i := range events {
		e := &events[i]
		if e.At > day {
			break
		}
		if e.What == Fill {
			gauged, filled = false, i
		}
		gauged = gauged || e.What == Observe && (e.Volume.Known || e.NetMass.Known)
	}
	if samples > 0 && !gauged {
		flags = append(flags, FlagNoVolumeGauge)
	}
	for _, i := range s.slips {
		if i > filled && events[i].At <= day {
			flags = append(flags, FlagOutlier)
			break
		}
	}
	if samples == 0 {
		flags = append(flags, FlagPriorOnly)
	}
	if s.verdict.drop >= dropAlarm && events[s.verdict.bestDrop.after].At <= day {
		flags = append(flags, FlagUnrecorded)
	}
	return flags
}

// samples counts the gauges and samples since the last fill, up to a day.
func (s *settled) samples(day float64) int {
	n := 0
	for i := range s.history.vessel.Events {
		e := &s.history.vessel.Events[i]
		if e.At > day {
			break
		}
		switch e.What {
		case Fill:
			n = 0
		case Observe:
			n++
		}
	}
	return n
}
