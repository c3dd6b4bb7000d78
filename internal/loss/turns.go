package loss

import "math"

// How often, in a vessel's year, a leak begins and a change of content goes unwritten.
const (
	leaksPerYear = 0.015
	dropsPerYear = 0.006
)

// verdict weighs what may have happened to a vessel unseen.
type verdict struct {
	leak, drop         float64 // chances, 0 to 1
	bestLeak, bestDrop turn
}

// examine compares the plain course of a vessel's life with every turn that it
// may have taken after one of its gauges.
func (r *reckoner) examine(acts []act) verdict {
	if r.history.volumes == 0 {
		return verdict{}
	}
	plain := *r
	plain.turn, plain.trust, plain.film, plain.score = turn{}, nil, nil, 0
	spots := spotsOf(acts)
	beliefs, scores := plain.pauseAt(acts, spots)
	if !plain.odd.worthALook() {
		return verdict{}
	}
	var leaks, drops tally
	for k, s := range spots {
		for kind, t := range [...]*tally{leakTurn: &leaks, dropTurn: &drops} {
			if t != nil {
				at := turn{turnKind(kind), acts[s.at-1].event}
				t.add(plain.weighTurn(beliefs[k], acts, at, s.at)+scores[k]-plain.score+math.Log(s.years), at)
			}
		}
	}
	return verdictOf(&leaks, &drops)
}

// oddness follows how far the gauges of content fall outside what is expected,
// in standard deviations: the sums of a fall or a rise that goes on, and the largest.
type oddness struct{ fall, rise, most float64 }

// see takes in one gauge. Half a deviation to the one side or the other is nothing.
func (o *oddness) see(z float64) {
	const nothing = 0.25
	o.fall = math.Max(0, o.fall-z-nothing)
	o.rise = math.Max(0, o.rise+z-nothing)
	o.most = math.Max(o.most, math.Max(math.Abs(z), math.Max(o.fall, o.rise)))
}

// worthALook says whether a turn could be likely at all. It spares the sound
// vessels of a large stock the comparison.
func (o *oddness) worthALook() bool { return o.most > 1.8 }

// weighTurn is the log weight of a turn: how likely the readings after it are, and
// how often such a thing happens in a year.
func (r *reckoner) weighTurn(b belief, acts []act, at turn, from int) float64 {
	branch := *r
	branch.score, branch.turn = 0, at
	branch.walk(&b, acts, from)
	if at.kind == dropTurn {
		return branch.score + math.Log(dropsPerYear)
	}
	return branch.score + math.Log(leaksPerYear) + logPositive(b.x[inLeak], b.p[inLeak][inLeak])
}

// logPositive is the log chance that a normal value is above 0.
func logPositive(mean, variance float64) float64 {
	return math.Log(math.Max(1e-300, 0.5*math.Erfc(-mean/math.Sqrt(2*variance))))
}

// tally sums the weights of one kind of turn and keeps the heaviest.
type tally struct {
	sum, most float64 // logarithms
	best      turn
	any       bool
}

func (t *tally) add(weight float64, at turn) {
	if !t.any {
		t.sum, t.most, t.best, t.any = weight, weight, at, true
		return
	}
	high := math.Max(t.sum, weight)
	t.sum = high + math.Log(math.Exp(t.sum-high)+math.Exp(weight-high))
	if weight > t.most {
		t.most, t.best = weight, at
	}
}

func verdictOf(leaks, drops *tally) verdict {
	if !leaks.any {
		return verdict{}
	}
	high := math.Max(0, math.Max(leaks.sum, drops.sum))
	l, d, none := math.Exp(leaks.sum-high), math.Exp(drops.sum-high), math.Exp(-high)
	all := l + d + none
	return verdict{l / all, d / all, leaks.best, drops.best}
}

// spot is a place among the acts after which a turn may have come: just after a
// fill or a gauge, and how long it was until the next gauge of content.
type spot struct {
	at    int
	years float64
}

func spotsOf(acts []act) []spot {
	var spots []spot
	last, lastAt := -1, 0.0
	for i := range acts {
		switch a := &acts[i]; {
		case a.what == actFill:
			last, lastAt = i+1, a.at
		case a.what == actEmpty:
			last = -1
		case a.what == actRead && a.reads != readStrength:
			if last >= 0 && a.at > lastAt {
				spots = append(spots, spot{last, (a.at - lastAt) / daysPerYear})
			}
			last, lastAt = afterEvent(acts, i), a.at
		}
	}
	return spots
}

// afterEvent is the index of the first act that does not come from the same event.
func afterEvent(acts []act, i int) int {
	event := acts[i].event
	for i < len(acts) && acts[i].event == event {
		i++
	}
	return i
}

// pauseAt walks the acts and keeps belief and score before each spot.
func (r *reckoner) pauseAt(acts []act, spots []spot) (beliefs []belief, scores []float64) {
	b := prior(r.hyper, &r.history.traits)
	for i := range acts {
		if k := len(beliefs); k < len(spots) && spots[k].at == i {
			beliefs, scores = append(beliefs, b), append(scores, r.score)
		}
		r.do(&b, &acts[i], i)
	}
	return beliefs, scores
}
