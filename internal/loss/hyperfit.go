package loss

import (
	"math"
	"math/rand/v2"
	"sort"

	"gonum.org/v1/gonum/mat"
)

// The settings are found from a few vessels first and then from so many; more
// would add time and no precision worth having. A rare kind of vessel is not
// left to chance: it has some among them, as far as there are any.
const (
	firstLives = 48
	mostLives  = 240
	leastAKind = 24
)

// settingsFor finds the settings of a stock and draws some from what is possible.
func settingsFor(histories []*history, settings []setting, pause func()) (best *hyper, drawn []*hyper) {
	lives := chosen(histories)
	f := newFitting(settings, thinned(lives, firstLives), pause)
	f.climb(60)
	if len(lives) > len(f.lives) {
		f.lives = lives
		f.climb(16)
	}
	if f.takeTurns(f.calm()) {
		f.climb(24)
	}
	for range 2 {
		if !f.takeTurns(f.values(f.at)) {
			break
		}
		f.climb(24)
	}
	return f.values(f.at), f.draw(drawsFor(len(histories)))
}

// chosen takes the vessels that the settings are found from, among those with
// readings: an even share of each kind, by wood, place and code.
func chosen(histories []*history) []*life {
	byKind := map[int][]*life{}
	count := 0
	for _, h := range histories {
		if h.readings > 0 {
			byKind[h.traits.scaleKind] = append(byKind[h.traits.scaleKind], &life{history: h})
			count++
		}
	}
	var lives []*life
	for kind := setScaleCask; kind <= setScaleTank; kind++ {
		of := byKind[kind]
		sort.SliceStable(of, func(i, j int) bool {
			a, b := &of[i].history.traits, &of[j].history.traits
			if a.isNew != b.isNew {
				return a.isNew < b.isNew
			}
			if a.place != b.place {
				return a.place < b.place
			}
			return a.wood < b.wood
		})
		lives = append(lives, thinned(of, max(leastAKind, mostLives*len(of)/max(1, count)))...)
	}
	return lives
}

// thinned keeps at most so many, evenly spaced.
func thinned(lives []*life, most int) []*life {
	if len(lives) <= most {
		return lives
	}
	kept := make([]*life, most)
	for i := range kept {
		kept[i] = lives[i*len(lives)/most]
	}
	return kept
}

// calm is what is found so far, but with rates that wander no more than is
// usual. Leaks that were not yet set apart make the rates of all vessels seem
// restless, and so hide themselves.
func (f *fitting) calm() *hyper {
	at := append([]float64(nil), f.at...)
	for _, noise := range [...]int{setRateSD, setRateWhite} {
		at[noise] = math.Min(0, at[noise])
	}
	return f.values(at)
}

// takeTurns lets a life that most likely leaked, or lost something unwritten,
// go that way, so that it does not spoil what is learned of the others. It says
// whether any turn is another than before.
func (f *fitting) takeTurns(h *hyper) (changed bool) {
	turns := make([]turn, len(f.lives))
	inParallel(len(f.lives), f.pause, func(i int) {
		r := newReckoner(f.lives[i].history, h)
		switch v := r.examine(f.lives[i].history.acts); {
		case v.leak > 0.5:
			turns[i] = v.bestLeak
		case v.drop > 0.5:
			turns[i] = v.bestDrop
		}
	})
	for i, l := range f.lives {
		changed = changed || l.turn != turns[i]
		l.turn = turns[i]
	}
	return changed
}

// drawsFor is how many sets of settings are kept: a small stock leaves much
// open, a large one little.
func drawsFor(vessels int) int {
	switch {
	case vessels <= 150:
		return 24
	case vessels <= 1000:
		return 12
	}
	return 6
}

// draw takes settings from what the stock leaves possible: pairs of opposite
// directions from the normal distribution around the best, and along each as
// far as the worth has fallen by what that distribution says. Where the worth
// falls faster to one side than to the other, so do the draws.
func (f *fitting) draw(n int) []*hyper {
	p := len(f.at)
	var eigen mat.EigenSym
	if !eigen.Factorize(f.metric, true) {
		return []*hyper{f.values(f.at)}
	}
	precision := eigen.Values(nil)
	var axes mat.Dense
	eigen.VectorsTo(&axes)
	f.top = f.worth(f.at, f.scores(f.at))
	source := rand.New(rand.NewPCG(1, 2))
	var drawn []*hyper
	for range n / 2 {
		z, fall := mat.NewVecDense(p, nil), 0.0
		for j := range p {
			x := source.NormFloat64()
			fall += x * x / 2
			// No direction is less certain than the prior leaves it.
			z.SetVec(j, x/math.Sqrt(math.Max(1, precision[j])))
		}
		var d mat.VecDense
		d.MulVec(&axes, z)
		drawn = append(drawn, f.along(&d, 1, fall), f.along(&d, -1, fall))
	}
	return drawn
}

// mostReach is how much further than the normal distribution says a draw may go.
const mostReach = 1.6

// along goes in a direction until the worth has fallen by a given amount.
func (f *fitting) along(d *mat.VecDense, sign, fall float64) *hyper {
	low, high, reach := 0.0, mostReach, 1.0
	for range 6 {
		at := shifted(f.at, d, sign*reach)
		if f.top-f.worth(at, f.scores(at)) > fall {
			high = reach
		} else {
			low = reach
		}
		reach = (low + high) / 2
	}
	return f.values(shifted(f.at, d, sign*low))
}

func shifted(at []float64, d *mat.VecDense, sign float64) []float64 {
	out := append([]float64(nil), at...)
	for j := range out {
		out[j] += sign * d.AtVec(j)
	}
	return out
}
