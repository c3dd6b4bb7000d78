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
		if look := c.firstDay + 400; day < look && look <= next {
			c.live(s.plan.world, day, look, r)
			c.seen, day = simPoint{look, c.volume(), c.strength()}, look
		}
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

// room puts a cask of one of three woods into one of three places, of which
// nobody measured the air. The season is felt in the loft twice as much as
// usual, in the vault hardly.
func (c *simCask) room(i int) {
	c.vessel.Place = []string{"barn", "vault", "loft"}[i%3]
	c.swing = []float64{1, 0.2, 1.8}[i%3]
	c.vessel.Wood = []string{"oak", "chestnut", "apple wood"}[i/3%3]
	freely := []float64{1, 1.25, 1.6}[i/3%3]
	c.area *= freely
	c.loss *= freely
}
