package loss

import "math"

// What is unknown of a vessel, in the order in which a belief lists it.
const (
	inEthanol = iota // kg
	inWater          // kg
	inScale          // log rate of its wood, kg/(m²·year): does not change
	inDrive          // pull on water beside the humidity: does not change
	inRate           // wander of the log rate, fading over wanderYears
	inPull           // wander of the pull, likewise
	inSoak           // log indrink, kg/m²: does not change
	inLeak           // share of the content that leaks in a year
	unknowns
)

// wanderYears is how long a vessel's rate stays above or below its own mean.
const wanderYears = 2.0

// belief is what is held of a vessel at one moment: means and covariances.
type belief struct {
	x      [unknowns]float64
	p      [unknowns][unknowns]float64
	filled bool
	refill bool // the wood has been wet before
}

func (b *belief) content() content { return content{b.x[inEthanol], b.x[inWater]} }

// prior is what is held before a vessel was filled: what its like show.
func prior(h *hyper, t *traits) belief {
	var b belief
	b.x[inScale], b.x[inDrive], b.x[inSoak] = h.expected(t)
	b.p[inScale][inScale] = h.scaleVar
	b.p[inDrive][inDrive] = h.driveVar
	b.p[inScale][inDrive], b.p[inDrive][inScale] = h.cross, h.cross
	b.p[inRate][inRate] = h.rateVar
	b.p[inPull][inPull] = h.pullVar
	if t.soakKind >= 0 {
		b.p[inSoak][inSoak] = h.soakVar
	}
	return b
}

// forgetContent clears the two masses and what ties them to the rest.
func (b *belief) forgetContent() {
	b.x[inEthanol], b.x[inWater] = 0, 0
	for i := range unknowns {
		b.p[inEthanol][i], b.p[inWater][i] = 0, 0
		b.p[i][inEthanol], b.p[i][inWater] = 0, 0
	}
}

// spreadContent adds a covariance (kg²) to the two masses.
func (b *belief) spreadContent(s [3]float64) {
	b.p[inEthanol][inEthanol] += s[0]
	b.p[inEthanol][inWater] += s[1]
	b.p[inWater][inEthanol] += s[1]
	b.p[inWater][inWater] += s[2]
}

// variance of a quantity that changes with the two masses as g says.
func (b *belief) variance(g gradient) float64 {
	return g[0]*g[0]*b.p[inEthanol][inEthanol] + 2*g[0]*g[1]*b.p[inEthanol][inWater] + g[1]*g[1]*b.p[inWater][inWater]
}

// passage is how a step carries deviations on: the two masses depend on
// everything, the wanders fade, the rest stays.
type passage struct {
	ethanol, water [unknowns]float64
	fade           float64
}

// open is how many of the unknowns are open: the leak, the last, only once one is thought of.
func (b *belief) open() int {
	if b.p[inLeak][inLeak] == 0 {
		return inLeak
	}
	return unknowns
}

// carry moves the covariance through a passage.
func (b *belief) carry(f *passage) {
	n := b.open()
	var e, w [unknowns]float64
	for j := range n {
		var se, sw float64
		for k := range n {
			se += f.ethanol[k] * b.p[k][j]
			sw += f.water[k] * b.p[k][j]
		}
		e[j], w[j] = se, sw
	}
	var ee, ew, ww float64
	for k := range n {
		ee += e[k] * f.ethanol[k]
		ew += e[k] * f.water[k]
		ww += w[k] * f.water[k]
	}
	for _, i := range [2]int{inRate, inPull} {
		e[i] *= f.fade
		w[i] *= f.fade
		for j := inScale; j < n; j++ {
			b.p[i][j] *= f.fade
			b.p[j][i] *= f.fade
		}
	}
	for j := inScale; j < n; j++ {
		b.p[inEthanol][j], b.p[j][inEthanol] = e[j], e[j]
		b.p[inWater][j], b.p[j][inWater] = w[j], w[j]
	}
	b.p[inEthanol][inEthanol], b.p[inWater][inWater] = ee, ww
	b.p[inEthanol][inWater], b.p[inWater][inEthanol] = ew, ew
}

// learn takes in a reading: gain is P·g/S for innovation v; share says how much
// of it is believed, and between full and no belief the doubt widens the result.
func (b *belief) learn(pg *[unknowns]float64, total, innovation, share float64) {
	shrink := share/total - share*(1-share)*square(innovation/total)
	for i := range b.open() {
		b.x[i] += share * pg[i] * innovation / total
		for j := range i + 1 {
			b.p[i][j] -= shrink * pg[i] * pg[j]
			b.p[j][i] = b.p[i][j]
		}
	}
	b.keepPositive()
}

// keepPositive guards the two masses: a reading may ask for less than nothing.
func (b *belief) keepPositive() {
	const least = 1e-6
	b.x[inEthanol] = math.Max(least, b.x[inEthanol])
	b.x[inWater] = math.Max(least, b.x[inWater])
}
