package loss

import "math"

// tangent replaces exp by its tangent at a point, so that a vessel whose rate
// is learned as it goes is reckoned from start to end with one slope. Without a
// point it is exp itself.
type tangent struct {
	scale, soak       float64
	expScale, expSoak float64
	fixed             bool
}

// tangentAt lays the tangents at the log rate and the log indrink of a belief.
func tangentAt(b *belief) tangent {
	scale, soak := b.x[inScale], b.x[inSoak]
	return tangent{scale, soak, math.Exp(scale), math.Exp(soak), true}
}

// bounded is exp, held to what a rate can be.
func bounded(x float64) float64 { return math.Exp(math.Min(8, math.Max(-14, x))) }

// along is the tangent to exp at a point, of which the exponential is given.
func along(x, point, slope float64) float64 { return math.Max(0.02, 1+x-point) * slope }

// rate returns the vessel's rate, kg/(m²·year), and its change by the log rate.
func (t *tangent) rate(x float64) (value, slope float64) {
	if t.fixed {
		return along(x, t.scale, t.expScale), t.expScale
	}
	value = bounded(x)
	return value, value
}

// drink returns the indrink, kg/m², and its change by the log indrink.
func (t *tangent) drink(x float64) (value, slope float64) {
	if t.fixed {
		return along(x, t.soak, t.expSoak), t.expSoak
	}
	value = bounded(x)
	return value, value
}

// drying is what the air does during a step.
type drying struct {
	logRate  float64 // on the rate
	humidity float64 // that the water feels, 0 to 1
}

func (h *hyper) drying(a *act) drying {
	here := h.here(a.place)
	return drying{
		a.logRate + here[placeRate] + (h.seasonCos+here[placeSeasonCos])*a.cos + (h.seasonSin+here[placeSeasonSin])*a.sin,
		a.humidity - here[placePull] - (h.humidCos+here[placeHumidCos])*a.cos - (h.humidSin+here[placeHumidSin])*a.sin,
	}
}

// flow is how fast the two masses leave, kg/year, and how that changes with each unknown.
type flow struct {
	ethanol, water   float64 // through the wood
	pull             float64 // change of the water's flow by the pull of the air
	byMass           [2]gradient
	byScale          gradient // change of (ethanol, water) by the log rate
	leakedE, leakedW float64
}

// flowOf works out the flows of a content.
func (r *reckoner) flowOf(x *[unknowns]float64, air drying) flow {
	c := content{x[inEthanol], x[inWater]}
	m := c.mass()
	p := c.ethanol / m
	at, slope := lookUp(p)
	at.towardsIdeal(&slope, p, r.hyper.ideal)
	volume := m * at.bulk
	perE, perW := (1-p)/m, -p/m // of the mass fraction

	k, dk := r.tangent.rate(x[inScale] + x[inRate])
	fill := math.Min(1.1, math.Max(0.02, volume/r.history.capacity))
	s := r.history.breathes * math.Exp(air.logRate+r.hyper.dryness*math.Log(fill))
	pull := at.water - air.humidity + r.usual.drive
	own := s * r.usual.rate * r.hyper.passing // what its own pull goes by
	drawn := own * (x[inDrive] - r.usual.drive + x[inPull])
	perVolume := s * k * r.hyper.dryness / math.Max(volume, 0.02*r.history.capacity)
	volE, volW := at.bulk+slope.bulk*(1-p), at.bulk-slope.bulk*p

	f := flow{ethanol: s * k * at.ethanol, water: s*k*r.hyper.passing*pull + drawn, pull: own}
	f.byScale = gradient{s * dk * at.ethanol, s * dk * r.hyper.passing * pull}
	f.byMass[0] = gradient{
		s*k*slope.ethanol*perE + perVolume*at.ethanol*volE,
		s*k*slope.ethanol*perW + perVolume*at.ethanol*volW,
	}
	byFill := perVolume * pull
	if k > 0 {
		byFill += perVolume * drawn / (s * k * r.hyper.passing)
	}
	f.byMass[1] = gradient{
		r.hyper.passing * (s*k*slope.water*perE + byFill*volE),
		r.hyper.passing * (s*k*slope.water*perW + byFill*volW),
	}
	f.leakedE, f.leakedW = x[inLeak]*c.ethanol, x[inLeak]*c.water
	return f
}

// mostInAStep is the largest share of the content that one step may lose: an
// odd guess of a rate must not empty a vessel at a stroke.
const mostInAStep = 0.2

// slow holds the flows to what a step of dt years may lose.
func (f *flow) slow(x *[unknowns]float64, dt float64) {
	lost := dt * math.Max(f.ethanol/x[inEthanol], math.Abs(f.water)/x[inWater])
	if lost <= mostInAStep {
		return
	}
	by := mostInAStep / lost
	f.ethanol, f.water, f.pull = f.ethanol*by, f.water*by, f.pull*by
	for i := range 2 {
		f.byScale[i] *= by
		f.byMass[0][i] *= by
		f.byMass[1][i] *= by
	}
}

// refillSoak is what wood that has been wet drinks beside what it drank at first.
const refillSoak = 0.35

// drunk is what the wood drinks during a step, kg, and its change by the log indrink.
func (r *reckoner) drunk(b *belief, a *act) (kg, slope float64) {
	if r.history.traits.soakKind < 0 || a.sinceFill > 8*r.hyper.soakYears {
		return 0, 0
	}
	share := math.Exp(-a.sinceFill/r.hyper.soakYears) - math.Exp(-(a.sinceFill+a.years)/r.hyper.soakYears)
	share *= r.history.soaks
	if b.refill {
		share *= refillSoak
	}
	z, dz := r.tangent.drink(b.x[inSoak])
	most := 0.2 * b.content().mass() / (share*z + 1e-12)
	by := math.Min(1, most)
	return by * share * z, by * share * dz
}

// leakGrowth is by how much a leak changes in a year, as a share of the content
// in a year: few stay as they begin.
const leakGrowth = 0.06

// wait lets a step of time pass, and adds the noise of the rates.
func (r *reckoner) wait(b *belief, a *act) passage {
	f := passage{fade: a.fade}
	f.ethanol[inEthanol], f.water[inWater] = 1, 1
	if b.filled {
		r.pass(b, a, &f)
	}
	b.x[inRate] *= f.fade
	b.x[inPull] *= f.fade
	b.carry(&f)
	b.p[inRate][inRate] += r.hyper.rateVar * (1 - f.fade*f.fade)
	b.p[inPull][inPull] += r.hyper.pullVar * (1 - f.fade*f.fade)
	if b.open() == unknowns {
		b.p[inLeak][inLeak] += leakGrowth * leakGrowth * a.years
	}
	return f
}

// pass moves the two masses through a step, to second order in its length, and
// says how the step carries deviations on.
func (r *reckoner) pass(b *belief, a *act, f *passage) {
	dt := a.years
	x := &b.x
	now := r.flowOf(x, r.hyper.drying(a))
	now.slow(x, dt)
	e, w := now.ethanol+now.leakedE, now.water+now.leakedW
	byE := gradient{now.byMass[0][0] + x[inLeak], now.byMass[0][1]}
	byW := gradient{now.byMass[1][0], now.byMass[1][1] + x[inLeak]}
	kg, slope := r.drunk(b, a)
	share := x[inEthanol]/(x[inEthanol]+x[inWater]) + r.hyper.swap(&r.history.traits)

	f.ethanol = [unknowns]float64{
		inEthanol: 1 - dt*byE[0], inWater: -dt * byE[1],
		inScale: -dt * now.byScale[0], inRate: -dt * now.byScale[0],
		inSoak: -slope * share, inLeak: -dt * x[inEthanol],
	}
	f.water = [unknowns]float64{
		inEthanol: -dt * byW[0], inWater: 1 - dt*byW[1],
		inScale: -dt * now.byScale[1], inRate: -dt * now.byScale[1],
		inDrive: -dt * now.pull, inPull: -dt * now.pull,
		inSoak: -slope * (1 - share), inLeak: -dt * x[inWater],
	}
	r.flutter = [3]float64{
		now.ethanol * now.ethanol * r.hyper.rateWhite * dt,
		now.ethanol * now.water * r.hyper.rateWhite * dt,
		now.water*now.water*r.hyper.rateWhite*dt + now.pull*now.pull*r.hyper.pullWhite*dt,
	}
	half := dt / 2
	x[inEthanol] -= dt*(e-half*(byE[0]*e+byE[1]*w)) + kg*share
	x[inWater] -= dt*(w-half*(byW[0]*e+byW[1]*w)) + kg*(1-share)
	b.keepPositive()
}
