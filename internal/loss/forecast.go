package loss

import (
	"math"
	"sort"
)

func (s *State) of(what Quantity) Estimate {
	switch what {
	case StrengthQuantity:
		return s.StrengthPct
	case PureAlcoholQuantity:
		return s.PureAlcoholL
	default:
		return s.VolumeL
	}
}

// How far ahead and how finely Reaches looks, in days.
const (
	reachStep = 30
	reachMost = 40 * daysPerYear
)

// Reaches returns the day, at or after a given one, on which a quantity falls
// to a floor: Mean when the reckoned path does, Low and High when the bounds of
// its interval do (High is +Inf when the upper bound stays above for 40 years).
// False when the code is not known or the path does not fall so far in 40 years.
func (m *Model) Reaches(code string, what Quantity, floor float64, after float64) (Estimate, bool) {
	path := m.Path(code, after, after+reachMost, reachStep)
	day := func(bound func(Estimate) float64) float64 {
		before := math.NaN()
		for i := range path {
			now := bound(path[i].of(what))
			if now <= floor {
				if i == 0 || before == now {
					return path[i].At
				}
				return path[i].At - reachStep*(floor-now)/(before-now)
			}
			before = now
		}
		return math.Inf(1)
	}
	e := Estimate{
		Mean: day(func(e Estimate) float64 { return e.Mean }),
		Low:  day(func(e Estimate) float64 { return e.Low }),
		High: day(func(e Estimate) float64 { return e.High }),
	}
	if math.IsInf(e.Mean, 1) {
		return Estimate{}, false
	}
	e.SD = (e.Mean - e.Low) / z90
	if !math.IsInf(e.High, 1) {
		e.SD = (e.High - e.Low) / (2 * z90)
	}
	return e, true
}

// SampleWorth returns by what fraction (0 to 1) the interval of the volume a
// year on would shrink if a full sample, strength and content, were taken on a day.
func (m *Model) SampleWorth(code string, at float64) float64 {
	s, known := m.find(code)
	if !known {
		return 0
	}
	last := lastDay(s.history.vessel.Events)
	at = math.Max(at, last)
	var with, without float64
	for i := range s.strands {
		st := &s.strands[i]
		b := st.end
		if !b.filled {
			return 0
		}
		st.goOn(s.history, &b, last, at)
		sampled := b
		for _, q := range [...]quantity{readStrength, readVolume} {
			st.imagine(&sampled, q)
		}
		st.goOn(s.history, &b, at, at+daysPerYear)
		st.goOn(s.history, &sampled, at, at+daysPerYear)
		without += st.weight * st.glimpse(&b, at+daysPerYear).volume.variance
		with += st.weight * st.glimpse(&sampled, at+daysPerYear).volume.variance
	}
	if !(without > 0) {
		return 0
	}
	return math.Max(0, 1-math.Sqrt(with/without))
}

// imagine takes in a reading that shows what is expected.
func (st *strand) imagine(b *belief, q quantity) {
	r := st.reckoner
	r.trust, r.film = nil, nil
	value, _, _, _ := r.expect(b, &act{reads: q})
	r.read(b, &act{what: actRead, reads: q, value: value}, 0)
}

// sum gathers the vessels of a total under one draw of the settings.
type sum struct {
	volume, alcohol, loss, alcoholLoss moment // loss in L/year
	covariance                         float64
}

func (s *sum) add(views []glimpse) {
	var one sum
	weight := 0.0
	for i := range views {
		weight += views[i].weight
	}
	if weight == 0 {
		return
	}
	for i := range views {
		g := &views[i]
		w := g.weight / weight
		one.volume.gather(w, g.volume)
		one.alcohol.gather(w, g.alcohol)
		one.loss.gather(w, moment{g.loss.mean * g.volume.mean / 100, g.loss.variance * square(g.volume.mean/100)})
		one.alcoholLoss.gather(w, moment{g.alcoholLoss.mean * g.alcohol.mean / 100, g.alcoholLoss.variance * square(g.alcohol.mean/100)})
		one.covariance += w * (g.covariance + g.volume.mean*g.alcohol.mean)
	}
	s.covariance += one.covariance - one.volume.mean*one.alcohol.mean
	for _, pair := range [...][2]*moment{
		{&s.volume, &one.volume}, {&s.alcohol, &one.alcohol}, {&s.loss, &one.loss}, {&s.alcoholLoss, &one.alcoholLoss},
	} {
		pair[0].mean += pair[1].mean
		pair[0].variance += pair[1].variance - square(pair[1].mean)
	}
}

// gather adds a weighted mean and a weighted second moment.
func (m *moment) gather(w float64, by moment) {
	m.mean += w * by.mean
	m.variance += w * (by.variance + square(by.mean))
}

// Share is what one vessel adds to a total.
type Share struct {
	sums    []sum // one for each draw of the settings; none: the vessel is empty
	samples int
}

// Share works out what a vessel adds to the totals of a day; false when the
// code is not known.
func (m *Model) Share(code string, at float64) (Share, bool) {
	s, known := m.find(code)
	if !known {
		return Share{}, false
	}
	return m.shareOf(s, at, s.views([]float64{at})[0]), true
}

func (m *Model) shareOf(s *settled, at float64, views []glimpse) Share {
	if s.empty(views) {
		return Share{}
	}
	share := Share{sums: make([]sum, len(m.drawn)), samples: s.samples(at)}
	for d := range share.sums {
		share.sums[d].add(under(d, views))
	}
	return share
}

// Total returns what several vessels hold together: the strength is the pure
// alcohol over the sum of the volumes, DriftPctPerYear its change. What the
// vessels share (their settings) makes their errors lean the same way, and the
// intervals allow for it. Codes that are not known are passed over.
func (m *Model) Total(codes []string, at float64) State {
	codes = append([]string(nil), codes...)
	sort.Strings(codes)
	shares := make([]Share, len(codes))
	for i, code := range codes {
		shares[i], _ = m.Share(code, at)
	}
	return m.TotalOf(shares, at)
}

// TotalOf is Total of vessels whose shares in that day are known, in the order
// of their codes.
func (m *Model) TotalOf(shares []Share, at float64) State {
	sums := make([]sum, len(m.drawn))
	total := State{At: at, RateVsKind: 1}
	for _, share := range shares {
		total.Samples += share.samples
		for d := range share.sums {
			sums[d].join(&share.sums[d])
		}
	}
	return total.summed(sums)
}

// join adds another sum.
func (s *sum) join(o *sum) {
	s.covariance += o.covariance
	for _, pair := range [...][2]*moment{
		{&s.volume, &o.volume}, {&s.alcohol, &o.alcohol}, {&s.loss, &o.loss}, {&s.alcoholLoss, &o.alcoholLoss},
	} {
		pair[0].mean += pair[1].mean
		pair[0].variance += pair[1].variance
	}
}

func (st State) summed(sums []sum) State {
	if len(sums) == 0 || sums[0].volume.mean <= 0 {
		st.Flags = []string{FlagEmpty}
		return st
	}
	views := make([]glimpse, len(sums))
	for i := range sums {
		s := &sums[i]
		v, a := s.volume.mean, s.alcohol.mean
		q := 100 * a / v
		views[i] = glimpse{weight: 1, volume: s.volume, alcohol: s.alcohol}
		views[i].strength = moment{q, square(100/v)*s.alcohol.variance - 2*100*q/(v*v)*s.covariance + square(q/v)*s.volume.variance}
		views[i].loss = moment{100 * s.loss.mean / v, s.loss.variance * square(100/v)}
		views[i].alcoholLoss = moment{100 * s.alcoholLoss.mean / a, s.alcoholLoss.variance * square(100/a)}
		drift := q * (views[i].loss.mean - views[i].alcoholLoss.mean) / 100
		views[i].drift = moment{drift, square(q/100) * (views[i].loss.variance + views[i].alcoholLoss.variance)}
	}
	st.VolumeL = blend(views, func(g *glimpse) moment { return g.volume })
	st.StrengthPct = blend(views, func(g *glimpse) moment { return g.strength })
	st.PureAlcoholL = blend(views, func(g *glimpse) moment { return g.alcohol })
	st.LossPctPerYear = blend(views, func(g *glimpse) moment { return g.loss })
	st.PureAlcoholLossPctPerYear = blend(views, func(g *glimpse) moment { return g.alcoholLoss })
	st.DriftPctPerYear = blend(views, func(g *glimpse) moment { return g.drift })
	return st
}
