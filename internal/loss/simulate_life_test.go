package loss

import (
	"math"
	"math/rand/v2"
	"sort"

	"example.org/croze/internal/spirit"
)

// fill puts spirit in; what is written down is a little off.
func (s *store) fill(c *simCask, r *rand.Rand, strengthSD float64) {
	q := 55 + 8*r.Float64()
	v := c.capacity * (0.95 + 0.04*r.Float64())
	a, _ := spirit.AmountOf(spirit.Litres(v), spirit.Strength(q))
	c.ethanol, c.water = float64(a.Ethanol()), float64(a.Water())
	written, _ := spirit.AmountOf(
		spirit.Litres(v*(1+0.002*r.NormFloat64())), spirit.Strength(q+0.5*strengthSD*r.NormFloat64()))
	day := simStart + math.Floor(60*r.Float64())
	c.firstDay = day
	c.vessel.Events = append(c.vessel.Events, Event{At: day, What: Fill, Amount: written})
	c.points = append(c.points, simPoint{day, float64(written.Volume()), float64(written.Strength())})
	c.raw = append(c.raw, c.points[0])
}

// liveThrough ages a cask to now, with samples, draws and top-ups on the way.
func (s *store) liveThrough(c *simCask, r *rand.Rand, strengthSD float64) {
	day := c.firstDay
	n := s.plan.least
	if s.plan.samples > n {
		n += r.IntN(s.plan.samples - n + 1)
	}
	var days []float64
	for range n {
		days = append(days, math.Floor(day+30+(s.now-day-30)*r.Float64()))
	}
	sort.Float64s(days)
	for _, next := range days {
		c.live(s.plan.world, day, next, r)
		day = next
		s.sample(c, day, r, strengthSD)
		if r.Float64() < s.plan.draws {
			s.draw(c, day, 0.01+0.04*r.Float64())
		}
		if r.Float64() < s.plan.topUps {
			s.topUp(c, day, 0.03)
		}
	}
	c.live(s.plan.world, day, s.now, r)
}

func (s *store) sample(c *simCask, day float64, r *rand.Rand, strengthSD float64) {
	e := Event{At: day, Order: c.samples * 10, What: Observe}
	c.samples++
	v, q := c.volume(), c.strength()
	e.Strength = Measured{Value: q + strengthSD*r.NormFloat64(), Known: true}
	p := simPoint{day: day, strength: e.Strength.Value, volume: math.NaN()}
	switch c.gauge {
	case "dip":
		e.Volume = Measured{Value: v + c.dipSD*r.NormFloat64(), Known: true}
		p.volume = e.Volume.Value + c.drawn
	case "weight":
		e.NetMass = Measured{Value: c.ethanol + c.water + c.weighSD*r.NormFloat64(), Known: true}
		p.volume = e.NetMass.Value/(c.ethanol+c.water)*v + c.drawn
	}
	raw := p
	raw.volume -= c.drawn
	if r.Float64() < s.plan.slips {
		before := e
		e = slip(e, r)
		raw.strength = e.Strength.Value
		raw.volume *= (e.Volume.Value + e.NetMass.Value) / (before.Volume.Value + before.NetMass.Value)
	} else {
		c.points = append(c.points, p)
	}
	c.raw = append(c.raw, raw)
	c.vessel.Events = append(c.vessel.Events, e)
}

// slip is an error of the pen: figures swapped, or a ten too many.
func slip(e Event, r *rand.Rand) Event {
	if r.IntN(2) == 0 || !(e.Volume.Known || e.NetMass.Known) {
		tens := math.Floor(e.Strength.Value / 10)
		rest := e.Strength.Value - 10*tens
		e.Strength.Value = 10*math.Floor(rest) + tens + math.Mod(rest, 1)
		if math.Abs(tens-math.Floor(rest)) < 1 {
			e.Strength.Value += 10
		}
		return e
	}
	e.Volume.Value *= 1.1
	e.NetMass.Value *= 0.9
	return e
}

func (s *store) draw(c *simCask, day, share float64) {
	litres := c.capacity * share
	if litres > 0.5*c.volume() {
		return
	}
	taken, _ := spirit.AmountOf(spirit.Litres(litres), spirit.Strength(c.strength()))
	keep := 1 - litres/c.volume()
	c.ethanol, c.water = c.ethanol*keep, c.water*keep
	c.drawn += litres
	c.vessel.Events = append(c.vessel.Events, Event{At: day, Order: c.samples*10 + 1, What: Out, Amount: taken})
}

func (s *store) topUp(c *simCask, day, share float64) {
	a, _ := spirit.AmountOf(spirit.Litres(c.capacity*share), 60)
	before := c.volume()
	c.ethanol += float64(a.Ethanol())
	c.water += float64(a.Water())
	c.drawn -= c.volume() - before
	c.vessel.Events = append(c.vessel.Events, Event{At: day, Order: c.samples*10 + 2, What: In, Amount: a})
}

// straightLine draws the least-squares line through a cask's points and reads it at a day.
func straightLine(points []simPoint, day float64, of func(simPoint) float64) float64 {
	var n, sx, sy, sxx, sxy float64
	for _, p := range points {
		if y := of(p); !math.IsNaN(y) {
			x := p.day - day
			n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
		}
	}
	if d := n*sxx - sx*sx; n > 1 && d > 1 {
		return (sxx*sy - sx*sxy) / d
	}
	return sy / n
}

// marks is how an estimator did on a store.
type marks struct {
	volume, strength         float64 // rms error over that of a straight line
	volumeMean, strengthMean float64 // the same of mean absolute errors
	lastValue                float64 // rms error of the volume over that of "last value and 2 % a year"
	volumeHeld, strengthHeld float64 // share of 90 % intervals that hold the truth
	count                    float64
}

// forecastMarks compares forecasts two years on with the truth. Casks that leak are left out.
func forecastMarks(stores []*store) marks {
	var m marks
	var mine, line, last [2]float64
	var mineAbs, lineAbs [2]float64
	for _, s := range stores {
		model := Fit(s.stock)
		for i, c := range s.casks {
			if c.leak > 0 {
				continue
			}
			truth := s.later[i]
			got, _ := model.State(c.vessel.Code, truth.day)
			lineV := straightLine(c.points, truth.day, func(p simPoint) float64 { return p.volume }) - c.drawn
			lineQ := straightLine(c.points, truth.day, func(p simPoint) float64 { return p.strength })
			lastV := c.lastVolume(truth.day)
			pair := func(sum, abs *[2]float64, v, q float64) {
				ev, eq := (v-truth.volume)/c.capacity, q-truth.strength
				sum[0], sum[1] = sum[0]+ev*ev, sum[1]+eq*eq
				abs[0], abs[1] = abs[0]+math.Abs(ev), abs[1]+math.Abs(eq)
			}
			pair(&mine, &mineAbs, got.VolumeL.Mean, got.StrengthPct.Mean)
			pair(&line, &lineAbs, lineV, lineQ)
			pair(&last, new([2]float64), lastV, truth.strength)
			m.volumeHeld += holds(got.VolumeL, truth.volume)
			m.strengthHeld += holds(got.StrengthPct, truth.strength)
			m.count++
		}
	}
	m.volume, m.strength = math.Sqrt(mine[0]/line[0]), math.Sqrt(mine[1]/line[1])
	m.volumeMean, m.strengthMean = mineAbs[0]/lineAbs[0], mineAbs[1]/lineAbs[1]
	m.lastValue = math.Sqrt(mine[0] / last[0])
	m.volumeHeld /= m.count
	m.strengthHeld /= m.count
	return m
}

func (c *simCask) lastVolume(day float64) float64 {
	for i := len(c.points) - 1; ; i-- {
		if p := c.points[i]; !math.IsNaN(p.volume) {
			return (p.volume - c.drawn) * math.Exp(-0.02*(day-p.day)/daysPerYear)
		}
	}
}

func holds(e Estimate, truth float64) float64 {
	if e.Low <= truth && truth <= e.High {
		return 1
	}
	return 0
}

// leakMarks is how leaks were found in a store.
type leakMarks struct {
	found, leaks, alarms, years float64
}

// findLeaks plays a store's history over: after each gauge the cask's state is
// asked for as it was known then. A leak counts as found if it was suspected
// within 18 months of its start; an alarm on a sound cask counts each time it begins.
func findLeaks(s *store) leakMarks {
	var m leakMarks
	model := Fit(s.stock)
	for _, c := range s.casks {
		if c.gauge == "strength" {
			continue
		}
		if c.leak == 0 {
			m.years += (s.now - c.firstDay) / daysPerYear
		}
		found, before := false, false
		for k, e := range c.vessel.Events {
			if e.What != Observe {
				continue
			}
			known := c.vessel
			known.Events = c.vessel.Events[:k+1]
			now := suspected(model.Refit(known), known.Code, e.At)
			if c.leak == 0 && now && !before {
				m.alarms++
			}
			if c.leak > 0 && e.At > c.leakFrom && e.At < c.leakFrom+1.5*daysPerYear {
				found = found || now
			}
			before = now
		}
		if c.leak > 0 {
			m.leaks++
			if found {
				m.found++
			}
		}
	}
	return m
}

func suspected(m *Model, code string, at float64) bool {
	s, _ := m.State(code, at)
	for _, f := range s.Flags {
		if f == FlagLeak {
			return true
		}
	}
	return false
}
