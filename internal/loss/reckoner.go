package loss

import "math"

// misread is the share of readings that are slips of the pen or the eye, and
// tell nothing. Such a reading may lie anywhere in a range this wide: in % vol
// for a strength, as a share of the capacity for a content.
const (
	misread       = 0.008
	strengthRange = 40.0
	capacityRange = 0.7
	leastBelief   = 1e-3 // share of belief under which a reading is left out altogether
)

// reckoner walks through a vessel's history and keeps the belief.
type reckoner struct {
	history *history
	hyper   *hyper
	tangent tangent
	turn    turn
	trust   []float64 // by reading (act.key): how far it is believed; nil: decided on the way
	film    *film     // where every move is kept; may be nil

	usual struct{ rate, drive float64 } // of its like: what one vessel has of its own in its pull on water goes by this rate

	flutter [3]float64
	score   float64 // log likelihood of the readings
	odd     oddness
}

func newReckoner(h *history, settings *hyper) reckoner {
	r := reckoner{history: h, hyper: settings}
	scale, drive, _ := settings.expected(&h.traits)
	r.usual.rate, r.usual.drive = math.Exp(scale+settings.at[setPullSize]*h.traits.size), drive
	return r
}

// turn is a change in a vessel's life that nobody wrote down.
type turn struct {
	kind  turnKind
	after int // index of the event after which it came
}

type turnKind uint8

const (
	noTurn   turnKind = iota
	leakTurn          // from then on it leaks
	dropTurn          // at that moment its content changed
)

// What a leak is expected to be, as a share of the content in a year, and how
// large an unrecorded change of the content.
const (
	usualLeak   = 0.08
	usualLeakSD = 0.05
	usualDropSD = 0.12
	inAmountSD  = 0.004 // relative, of what is moved in or out, where it is not stated
)

// run walks all the acts from a prior.
func (r *reckoner) run(acts []act) belief {
	b := prior(r.hyper, &r.history.traits)
	r.walk(&b, acts, 0)
	return b
}

// walk goes on from a belief with the acts from an index on.
func (r *reckoner) walk(b *belief, acts []act, from int) {
	for i := from; i < len(acts); i++ {
		if r.turn.before(acts, i) {
			b.takeTurn(r.turn.kind)
		}
		r.do(b, &acts[i], i)
	}
}

// before says whether the turn comes just before an act.
func (t *turn) before(acts []act, i int) bool {
	return t.kind != noTurn && i > 0 && acts[i-1].event == t.after && acts[i].event != t.after
}

func (b *belief) takeTurn(kind turnKind) {
	switch kind {
	case leakTurn:
		b.x[inLeak], b.p[inLeak][inLeak] = usualLeak, usualLeakSD*usualLeakSD
	case dropTurn:
		e, w := b.x[inEthanol]*usualDropSD, b.x[inWater]*usualDropSD
		b.spreadContent([3]float64{e * e, e * w, w * w})
	}
}

func (r *reckoner) do(b *belief, a *act, i int) {
	if r.film != nil {
		r.film.before(b, i)
	}
	switch a.what {
	case actWait:
		r.flutter = [3]float64{}
		f := r.wait(b, a)
		b.spreadContent(r.flutter)
		if r.film != nil {
			r.film.passed(i, f)
		}
	case actFill:
		r.fill(b, a)
	case actIn:
		b.x[inEthanol] += a.amount.ethanol
		b.x[inWater] += a.amount.water
		if a.amount.mass() > 0 {
			b.spreadContent(a.amount.spread(orUsual(a.uncertainty, inAmountSD), orUsual(a.strengthSD, r.hyper.fillSD)))
		}
	case actOut:
		f := r.take(b, a)
		if r.film != nil {
			r.film.passed(i, f)
		}
	case actEmpty:
		b.forgetContent()
		b.filled = false
	case actRead:
		if b.filled {
			r.read(b, a, i)
		}
	}
}

func orUsual(stated, usual float64) float64 {
	if stated > 0 {
		return stated
	}
	return usual
}

func (r *reckoner) fill(b *belief, a *act) {
	b.forgetContent()
	if b.filled = a.amount.mass() > 0; !b.filled {
		return
	}
	b.refill = a.fillNumber > 0
	b.x[inEthanol], b.x[inWater] = a.amount.ethanol, a.amount.water
	b.spreadContent(a.amount.spread(orUsual(a.uncertainty, r.hyper.fillRel), orUsual(a.strengthSD, r.hyper.fillSD)))
	b.keepPositive()
}

// What is left, as a share of the capacity, when more is taken than was thought
// to be there; and how uncertain that is, so that a later gauge can put it right.
const (
	dregs   = 0.002
	dregsSD = 0.02
)

// take removes a volume of what is in the vessel.
func (r *reckoner) take(b *belief, a *act) passage {
	f := passage{fade: 1}
	f.ethanol[inEthanol], f.water[inWater] = 1, 1
	if !b.filled || a.taken <= 0 {
		return f
	}
	c := b.content()
	volume, g := c.volume()
	least := math.Min(volume, dregs*r.history.capacity)
	share := math.Min(a.taken, volume-least) / volume
	e, w := c.ethanol*share/volume, c.water*share/volume
	f.ethanol[inEthanol], f.ethanol[inWater] = 1-share+e*g[0], e*g[1]
	f.water[inEthanol], f.water[inWater] = w*g[0], 1-share+w*g[1]
	b.x[inEthanol] *= 1 - share
	b.x[inWater] *= 1 - share
	b.carry(&f)
	sd := orUsual(a.uncertainty, inAmountSD) * share
	if a.taken > volume-least {
		sd += dregsSD * r.history.capacity / volume
	}
	b.spreadContent([3]float64{square(sd * c.ethanol), sd * sd * c.ethanol * c.water, square(sd * c.water)})
	return f
}

// expect returns what a reading should show, how that changes with the masses,
// the variance of its error and the range over which a slip may lie.
func (r *reckoner) expect(b *belief, a *act) (value float64, g gradient, noise, slip float64) {
	c := b.content()
	switch a.reads {
	case readStrength:
		value, g = c.strength()
		noise, slip = square(r.hyper.strengthSD), strengthRange
	case readVolume:
		value, g = c.volume()
		noise = square(r.hyper.volumeRel*value) + square(r.hyper.volumeAbs)
		slip = capacityRange * r.history.capacity
	case readMass:
		value, g = c.mass(), gradient{1, 1}
		noise = square(r.hyper.massRel*value) + square(r.hyper.massAbs)
		slip = capacityRange * r.history.capacity
	}
	if a.sd > 0 {
		noise = square(a.sd * r.hyper.stated[a.reads])
	}
	return value, g, noise, slip
}

// weigh adds to the score how likely a reading off by v is, and returns the
// chance that it is no slip.
func (r *reckoner) weigh(v, total, slip float64) float64 {
	const plain = (1 - misread) * 0.3989422804014327 // over √(2π)
	likely, slipped := plain/math.Sqrt(total)*math.Exp(-0.5*v*v/total), misread/slip
	r.score += math.Log(likely + slipped)
	return likely / (likely + slipped)
}

// read takes in one measured value.
func (r *reckoner) read(b *belief, a *act, i int) {
	value, g, noise, slip := r.expect(b, a)
	share := 1.0
	if r.trust != nil {
		share = r.trust[a.key]
		if share < leastBelief {
			return
		}
		noise /= share
	}
	var pg [unknowns]float64
	for k := range unknowns {
		pg[k] = b.p[k][inEthanol]*g[0] + b.p[k][inWater]*g[1]
	}
	total := pg[inEthanol]*g[0] + pg[inWater]*g[1] + noise
	v := a.value - value
	if a.reads != readStrength {
		r.odd.see(v / math.Sqrt(total))
	}
	if r.trust == nil {
		share = r.weigh(v, total, slip)
	} else {
		share = 1
	}
	if share < leastBelief {
		return
	}
	if r.film != nil {
		r.film.learned(i, g, pg, v, total)
	}
	b.learn(&pg, total, v, share)
}
