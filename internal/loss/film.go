package loss

// film keeps every move of a walk, so that it can be gone through backwards:
// what came later then improves what was held at each moment. The backward pass
// is the modified Bryson-Frazier smoother, which needs no inverse.
type film struct {
	beliefs []belief // before each act
	moves   []move
}

type move struct {
	kind       moveKind
	passage    passage
	g          gradient
	pg         [unknowns]float64
	innovation float64
	total      float64
}

type moveKind uint8

const (
	moveNone moveKind = iota
	movePass
	moveLearn
)

func newFilm(acts int) *film { return &film{make([]belief, acts), make([]move, acts)} }

func (f *film) before(b *belief, i int) { f.beliefs[i], f.moves[i].kind = *b, moveNone }

func (f *film) passed(i int, p passage) { f.moves[i].kind, f.moves[i].passage = movePass, p }

func (f *film) learned(i int, g gradient, pg [unknowns]float64, innovation, total float64) {
	f.moves[i] = move{kind: moveLearn, g: g, pg: pg, innovation: innovation, total: total}
}

// hindsight is what later readings say, in the form that the smoother carries
// backwards: x - P·λ and P - P·Λ·P are the smoothed mean and covariance.
type hindsight struct {
	lambda [unknowns]float64
	Lambda [unknowns][unknowns]float64
}

// backwards calls see with the smoothed belief before each act, last first.
func (f *film) backwards(acts []act, see func(i int, b *belief, h *hindsight)) {
	var h hindsight
	for i := len(acts) - 1; i >= 0; i-- {
		switch {
		case acts[i].what == actFill || acts[i].what == actEmpty:
			h.cut()
		case f.moves[i].kind == movePass:
			h.pass(&f.moves[i].passage)
		case f.moves[i].kind == moveLearn:
			h.learn(&f.moves[i])
		}
		see(i, &f.beliefs[i], &h)
	}
}

// cut drops what is said of the masses: before a fill they are others.
func (h *hindsight) cut() {
	h.lambda[inEthanol], h.lambda[inWater] = 0, 0
	for i := range unknowns {
		h.Lambda[inEthanol][i], h.Lambda[inWater][i] = 0, 0
		h.Lambda[i][inEthanol], h.Lambda[i][inWater] = 0, 0
	}
}

// pass carries λ and Λ back through a passage Φ: Φ'λ and Φ'ΛΦ.
func (h *hindsight) pass(p *passage) {
	keep := [unknowns]float64{0, 0, 1, 1, p.fade, p.fade, 1, 1}
	back := func(v *[unknowns]float64) [unknowns]float64 {
		var out [unknowns]float64
		for k := range unknowns {
			out[k] = keep[k]*v[k] + p.ethanol[k]*v[inEthanol] + p.water[k]*v[inWater]
		}
		return out
	}
	h.lambda = back(&h.lambda)
	var half [unknowns][unknowns]float64
	for i := range unknowns {
		half[i] = back(&h.Lambda[i]) // row i of ΛΦ
	}
	for j := range unknowns {
		var column [unknowns]float64
		for i := range unknowns {
			column[i] = half[i][j]
		}
		column = back(&column)
		for i := range unknowns {
			h.Lambda[i][j] = column[i]
		}
	}
}

// learn carries λ and Λ back through a reading with gradient g and gain K = P·g/S:
// λ ← (I - K g')'λ - g·v/S, Λ ← (I - K g')'Λ(I - K g') + g g'/S.
func (h *hindsight) learn(m *move) {
	var kl float64
	var kL [unknowns]float64 // K'Λ
	for i := range unknowns {
		kl += m.pg[i] / m.total * h.lambda[i]
		for j := range unknowns {
			kL[j] += m.pg[i] / m.total * h.Lambda[i][j]
		}
	}
	var kLk float64
	for j := range unknowns {
		kLk += kL[j] * m.pg[j] / m.total
	}
	g := [unknowns]float64{inEthanol: m.g[0], inWater: m.g[1]}
	for i := range unknowns {
		h.lambda[i] -= g[i] * (kl + m.innovation/m.total)
		for j := range unknowns {
			h.Lambda[i][j] += g[i]*g[j]*(kLk+1/m.total) - g[i]*kL[j] - kL[i]*g[j]
		}
	}
}

// smoothed applies hindsight to a belief.
func (b *belief) smoothed(h *hindsight) belief {
	out := *b
	var pL [unknowns][unknowns]float64
	for i := range unknowns {
		for k := range unknowns {
			if b.p[i][k] == 0 {
				continue
			}
			out.x[i] -= b.p[i][k] * h.lambda[k]
			for j := range unknowns {
				pL[i][j] += b.p[i][k] * h.Lambda[k][j]
			}
		}
	}
	for i := range unknowns {
		for j := range unknowns {
			for k := range unknowns {
				out.p[i][j] -= pL[i][k] * b.p[k][j]
			}
		}
	}
	if out.filled {
		out.keepPositive()
	}
	return out
}
