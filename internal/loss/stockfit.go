package loss

import (
	"math"
	"runtime"
	"sync"

	"gonum.org/v1/gonum/mat"
)

// life is a vessel's history while the settings of the stock are being found.
type life struct {
	history *history
	turn    turn
}

// fitting looks for the settings under which the readings of the whole stock
// are most likely (their marginal likelihood: what each vessel has of its own is
// integrated out), held back by the settings' priors. It works in standard
// coordinates: u = (value - prior mean)/prior sd.
type fitting struct {
	settings []setting
	lives    []*life
	at, from []float64 // u, now and a step before
	top      float64   // worth there
	metric   *mat.SymDense
	pause    func() // between one life and the next
}

func newFitting(settings []setting, lives []*life, pause func()) *fitting {
	f := &fitting{settings: settings, lives: lives, at: make([]float64, len(settings)), pause: pause}
	for _, noise := range [...]int{setRateSD, setRateWhite, setPullSD, setPullWhite} {
		f.at[noise] = 1 // too much noise shows in the likelihood, next to none does not
	}
	return f
}

// values turns standard coordinates into settings.
func (f *fitting) values(at []float64) *hyper {
	v := make([]float64, len(at))
	for i, s := range f.settings {
		v[i] = s.mean + s.sd*at[i]
	}
	return newHyper(v)
}

func (l *life) reckoner(h *hyper) *reckoner {
	r := newReckoner(l.history, h)
	r.turn = l.turn
	return &r
}

func (l *life) score(h *hyper) float64 {
	r := l.reckoner(h)
	r.run(l.history.acts)
	return r.score
}

// inParallel calls work for 0 to n-1 on all cores, and pause before each. Each call writes only what is its own.
func inParallel(n int, pause func(), work func(i int)) {
	workers := min(n, runtime.GOMAXPROCS(0))
	var group sync.WaitGroup
	for w := range workers {
		group.Add(1)
		go func() {
			defer group.Done()
			for i := w; i < n; i += workers {
				pause()
				work(i)
			}
		}()
	}
	group.Wait()
}

// scores returns each life's log likelihood.
func (f *fitting) scores(at []float64) []float64 {
	h := f.values(at)
	out := make([]float64, len(f.lives))
	inParallel(len(f.lives), f.pause, func(i int) { out[i] = f.lives[i].score(h) })
	return out
}

// worth is what is maximised: the likelihood with the prior.
func (f *fitting) worth(at, scores []float64) float64 {
	sum := 0.0
	for _, s := range scores {
		sum += s
	}
	for _, u := range at {
		sum -= u * u / 2
	}
	if math.IsNaN(sum) {
		return math.Inf(-1)
	}
	return sum
}

// nudge is the step of the numerical slopes, in standard coordinates.
const nudge = 1e-3

// slopes returns each life's change of score by each setting.
func (f *fitting) slopes(at, scores []float64) *mat.Dense {
	p := len(at)
	g := mat.NewDense(max(1, len(f.lives)), p, nil) // a stock without readings has one row, of nothing
	hypers := make([]*hyper, p)
	for j := range p {
		moved := append([]float64(nil), at...)
		moved[j] += nudge
		hypers[j] = f.values(moved)
	}
	inParallel(len(f.lives), f.pause, func(i int) {
		l := f.lives[i]
		for j := range p {
			if l.history.bears(j) {
				g.Set(i, j, (l.score(hypers[j])-scores[i])/nudge)
			}
		}
	})
	return g
}

// A search is over after two steps that gain less than this, in log likelihood.
const enough = 0.05

// freshAfter is after how many steps the metric is made anew: bent along a long
// way, it remembers slopes of places that were left behind.
const freshAfter = 15

// climb raises the worth by quasi-Newton steps. Their metric is the prior's
// and the sum of the squared slopes, bent by what the steps find (BFGS).
func (f *fitting) climb(most int) {
	var slope []float64
	steps, small := 0, 0 // since the metric is fresh; in a row
	for range most {
		scores := f.scores(f.at)
		worth := f.worth(f.at, scores)
		each := f.slopes(f.at, scores)
		next := total(each, f.at)
		if steps%freshAfter == 0 {
			f.metric = outer(each)
		} else {
			bend(f.metric, f.from, f.at, slope, next)
		}
		slope = next
		to, gained := f.step(slope, worth)
		if to == nil && steps%freshAfter > 0 {
			f.metric, steps = outer(each), 0
			to, gained = f.step(slope, worth)
		}
		if to == nil {
			return
		}
		f.from, f.at = f.at, to
		steps++
		if gained-worth >= enough {
			small = 0
		} else if small++; small == 2 {
			return
		}
	}
}

// step looks for a better place in the direction that the metric gives.
func (f *fitting) step(slope []float64, worth float64) (to []float64, gained float64) {
	step, ok := solve(f.metric, slope)
	if !ok {
		return nil, 0
	}
	return f.search(step, worth)
}

// search shortens a step until it gains.
func (f *fitting) search(step []float64, worth float64) (next []float64, gained float64) {
	long := 0.0
	for _, s := range step {
		long = math.Max(long, math.Abs(s))
	}
	share := math.Min(1, 1.5/long)
	for range 8 {
		next = append([]float64(nil), f.at...)
		for j := range next {
			next[j] += share * step[j]
		}
		if gained = f.worth(next, f.scores(next)); gained > worth {
			return next, gained
		}
		share *= 0.4
	}
	return nil, 0
}

// total sums the lives' slopes and adds the prior's.
func total(each *mat.Dense, at []float64) []float64 {
	n, p := each.Dims()
	sum := make([]float64, p)
	for i := range n {
		for j := range p {
			sum[j] += each.At(i, j)
		}
	}
	for j := range p {
		sum[j] -= at[j]
	}
	return sum
}

// outer is the prior's precision (1) and the sum of the squared slopes.
func outer(each *mat.Dense) *mat.SymDense {
	_, p := each.Dims()
	m := mat.NewSymDense(p, nil)
	m.SymOuterK(1, each.T())
	for j := range p {
		m.SetSym(j, j, m.At(j, j)+1)
	}
	return m
}

func solve(m *mat.SymDense, slope []float64) ([]float64, bool) {
	var chol mat.Cholesky
	if !chol.Factorize(m) {
		return nil, false
	}
	var x mat.VecDense
	if chol.SolveVecTo(&x, mat.NewVecDense(len(slope), slope)) != nil {
		return nil, false
	}
	return x.RawVector().Data, true
}

// bend updates the metric by a step and the fall of the slope along it.
func bend(m *mat.SymDense, from, to, slopeFrom, slopeTo []float64) {
	p := len(from)
	s, y := mat.NewVecDense(p, nil), mat.NewVecDense(p, nil)
	for j := range p {
		s.SetVec(j, to[j]-from[j])
		y.SetVec(j, slopeFrom[j]-slopeTo[j])
	}
	var ms mat.VecDense
	ms.MulVec(m, s)
	sms, sy := mat.Dot(s, &ms), mat.Dot(s, y)
	if sy < 0.05*sms { // damped: the metric stays positive
		t := 0.95 * sms / (sms - sy)
		y.ScaleVec(t, y)
		y.AddScaledVec(y, 1-t, &ms)
		sy = mat.Dot(s, y)
	}
	if sms <= 0 || sy <= 0 {
		return
	}
	m.SymRankOne(m, -1/sms, &ms)
	m.SymRankOne(m, 1/sy, y)
}
