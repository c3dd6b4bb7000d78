package loss

import "math"

// moment is a mean and a variance.
type moment struct{ mean, variance float64 }

// glimpse is one strand's view of a vessel on one day.
type glimpse struct {
	weight                         float64
	draw                           int
	filled                         bool
	volume, strength, alcohol      moment
	covariance                     float64 // of volume and pure alcohol, L²
	loss, alcoholLoss, drift, rate moment
}

// mostStrengthSD bounds the doubt of a strength that hardly any liquid has.
const mostStrengthSD = 25

// glimpse looks at a belief.
func (s *strand) glimpse(b *belief, day float64) glimpse {
	g := glimpse{weight: s.weight, draw: s.draw, filled: b.filled}
	if !b.filled {
		return g
	}
	c := b.content()
	v, byV := c.volume()
	q, byQ := c.strength()
	a, byA := c.pureAlcohol()
	g.volume, g.strength, g.alcohol = moment{v, b.variance(byV)}, moment{q, b.variance(byQ)}, moment{a, b.variance(byA)}
	g.strength.variance = math.Min(g.strength.variance, mostStrengthSD*mostStrengthSD)
	g.covariance = byA[0] * (byV[0]*b.p[inEthanol][inEthanol] + byV[1]*b.p[inEthanol][inWater])

	f := s.steady(b, day)
	leave := gradient{f.ethanol + f.leakedE, f.water + f.leakedW}
	g.loss = s.leaving(b, &f, leave, gradient{100 / v * byV[0], 100 / v * byV[1]})
	g.alcoholLoss = s.leaving(b, &f, leave, gradient{100 / c.ethanol, 0})
	g.drift = s.leaving(b, &f, leave, gradient{-byQ[0], -byQ[1]})
	g.rate = moment{mean: s.besideItsKind(b, day, leave, byV)}
	return g
}

// steady returns the flows with the season averaged out, where the vessel stands on a day.
func (s *strand) steady(b *belief, day float64) flow {
	r := s.reckoner
	r.tangent = tangent{}
	at := r.history.standing(day)
	logRate, humidity := at.air.mean()
	here := r.hyper.here(at.place)
	return r.flowOf(&b.x, drying{logRate + here[placeRate], humidity - here[placePull]})
}

// leaving weighs the two flows into a rate, with its variance by the unknowns
// that drive them.
func (s *strand) leaving(b *belief, f *flow, leave gradient, by gradient) moment {
	var slope [unknowns]float64
	slope[inScale] = by[0]*f.byScale[0] + by[1]*f.byScale[1]
	slope[inRate] = slope[inScale]
	slope[inDrive] = by[1] * f.pull
	slope[inPull] = slope[inDrive]
	slope[inLeak] = by[0]*b.x[inEthanol] + by[1]*b.x[inWater]
	m := moment{mean: by[0]*leave[0] + by[1]*leave[1]}
	for i := inScale; i < unknowns; i++ {
		for j := inScale; j < unknowns; j++ {
			m.variance += slope[i] * slope[j] * b.p[i][j]
		}
	}
	return m
}

// besideItsKind is the loss of volume over that of a usual vessel with the same content.
func (s *strand) besideItsKind(b *belief, day float64, leave, byV gradient) float64 {
	usual := *b
	usual.x[inScale], usual.x[inDrive], _ = s.reckoner.hyper.expected(&s.reckoner.history.traits)
	usual.x[inRate], usual.x[inPull], usual.x[inLeak] = 0, 0, 0
	f := s.steady(&usual, day)
	like := byV[0]*f.ethanol + byV[1]*f.water
	if like <= 0 {
		return 1
	}
	return (byV[0]*leave[0] + byV[1]*leave[1]) / like
}
