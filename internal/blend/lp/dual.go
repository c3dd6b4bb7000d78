package lp

import "math"

// run pivots from the present basis until every value is within its bounds
// (true) or one is shown never to be (false). A basis that no longer inverts, as
// when a switch was decided, gives way to the logicals; if accuracy is lost on
// the way it begins once more from them, with the slow and sure choice of pivots.
func (t *tableau) run() (feasible bool, err error) {
	if !t.refresh() {
		t.startFromLogicals()
		if !t.refresh() {
			return false, ErrSingular
		}
	}
	if feasible, err = t.pivotOut(false); err == nil {
		return feasible, nil
	}
	t.startFromLogicals()
	if !t.refresh() {
		return false, ErrSingular
	}
	return t.pivotOut(true)
}

// pivotOut pivots until there is an answer; sure is to use Bland's rule from
// the start. An end is believed only on a fresh inverse and the true costs.
func (t *tableau) pivotOut(sure bool) (feasible bool, err error) {
	defer t.steady()
	stalled, shakes := 0, 0
	for since := 0; ; since++ {
		if stalled > t.m+20 && shakes < mostShakes && !t.shaken && !sure {
			shakes++
			t.shake(shakes)
			since, stalled = refactorEvery, 0
		}
		if since >= refactorEvery {
			if !t.refresh() {
				return false, ErrSingular
			}
			since = 0
		}
		step, end := t.pivotOnce(sure || stalled > 50+2*t.m)
		switch {
		case end == goesOn:
			stalled++
			if step > dualNoise {
				stalled = 0
			}
			if t.pivots++; stalled > mostStalled {
				return false, ErrSingular
			}
		case since > 0:
			since = refactorEvery
		case end == noWay:
			return false, nil // whatever the costs
		case t.shaken:
			t.steady()
			since = refactorEvery
		default:
			return true, nil
		}
	}
}

// ending says how a pivot went.
type ending uint8

const (
	goesOn  ending = iota
	inPlace        // every value is within its bounds
	noWay          // one never will be
)

// pivotOnce makes one pivot, if one is to be made.
func (t *tableau) pivotOnce(careful bool) (step float64, end ending) {
	r := t.leaving(careful)
	if r < 0 {
		return 0, inPlace
	}
	step, found := t.pivotOn(r, careful)
	if !found {
		return 0, noWay
	}
	return step, goesOn
}

// mostStalled is how many pivots may bring nothing before accuracy is taken to be lost.
const mostStalled = 20_000

// mostShakes is how often the costs are shaken before Bland's rule takes over.
const mostShakes = 3

// shake moves every cost a little, and each by another amount, in the direction
// that keeps the duals feasible. Where many reduced costs are 0, as when any
// plan is as good as another, pivots would otherwise go round in circles.
func (t *tableau) shake(again int) {
	t.trueCost = append(t.trueCost[:0], t.cost...)
	t.shaken = true
	for j := range t.cost {
		if t.position[j] >= 0 || t.high[j] == t.low[j] {
			continue
		}
		_, part := math.Modf(float64(j+1) * 0.6180339887498949 * float64(again))
		little := 1e-6 * (1 + part)
		if t.atUpper[j] {
			little = -little
		}
		t.cost[j] += little
	}
}

// steady puts the true costs back.
func (t *tableau) steady() {
	if t.shaken {
		copy(t.cost, t.trueCost)
		t.shaken = false
	}
}

// leaving picks the basis position that is furthest out of its bounds, as seen
// along its edge (dual steepest edge, the norm worked out exactly: m is small).
// When careful, it is the first by column index, by Bland's rule.
func (t *tableau) leaving(careful bool) int {
	best, worst := -1, 0.0
	for i, j := range t.basis {
		out := math.Max(t.low[j]-t.x[j], t.x[j]-t.high[j])
		if out <= feasibility {
			continue
		}
		if careful {
			if best < 0 || j < t.basis[best] {
				best = i
			}
			continue
		}
		norm := 0.0
		for _, v := range t.inverse[i*t.m : (i+1)*t.m] {
			norm += v * v
		}
		if score := out * out / norm; score > worst {
			best, worst = i, score
		}
	}
	return best
}

// pivotOn takes position r out of the basis. It is false when no column can
// bring r back within its bounds: the program is infeasible. The step is that
// of the duals.
func (t *tableau) pivotOn(r int, careful bool) (step float64, found bool) {
	leaving := int(t.basis[r])
	rising := t.x[leaving] < t.low[leaving]
	target := t.high[leaving]
	if rising {
		target = t.low[leaving]
	}
	t.effort += int64(len(t.value) + 2*t.n + 3*t.m*t.m)
	rho := t.inverse[r*t.m : (r+1)*t.m]
	t.gather(rho, rising)
	q, passed := t.ratioTest(math.Abs(t.x[leaving]-target), careful)
	if q < 0 {
		return 0, false
	}
	t.flip(passed)
	t.exchange(r, q, target)
	return math.Abs(t.reduced[leaving]), true
}

// gather works out the pivot row and the breakpoints where a column outside
// the basis would change the sign of its reduced cost.
func (t *tableau) gather(rho []float64, rising bool) {
	points := t.work.heap[:0]
	alpha := t.work.alpha
	// What is left of large numbers that cancel is no pivot.
	least := smallestPivot * math.Max(1, largest(rho))
	for j := range alpha {
		if t.position[j] >= 0 {
			alpha[j] = 0
			continue
		}
		a := t.dot(rho, j)
		alpha[j] = a
		if t.high[j] == t.low[j] || math.Abs(a) < least {
			continue
		}
		if helps := (a < 0) == rising; helps != t.atUpper[j] {
			points = append(points, breakpoint{math.Abs(t.reduced[j] / a), math.Abs(a), int32(j)})
		}
	}
	t.work.heap = points
}

// largest is the largest absolute value.
func largest(v []float64) float64 {
	most := 0.0
	for _, x := range v {
		most = math.Max(most, math.Abs(x))
	}
	return most
}

// flip moves columns from one bound to the other and the basis with them.
func (t *tableau) flip(passed []breakpoint) {
	if len(passed) == 0 {
		return
	}
	sum := t.work.shift
	clear(sum)
	for _, b := range passed {
		j := int(b.column)
		t.atUpper[j] = !t.atUpper[j]
		next := t.bound(j)
		t.addColumn(sum, j, next-t.x[j])
		t.x[j] = next
	}
	for i, j := range t.basis {
		for k := range t.m {
			t.x[j] -= t.inverse[i*t.m+k] * sum[k]
		}
	}
}

// exchange brings column q into position r, whose column goes to target.
func (t *tableau) exchange(r, q int, target float64) {
	m, entered := t.m, t.work.entered
	clear(t.work.shift)
	t.addColumn(t.work.shift, q, 1)
	for i := range m {
		entered[i] = 0
		for k, v := range t.work.shift {
			entered[i] += t.inverse[i*m+k] * v
		}
	}
	leaving := int(t.basis[r])
	move := (t.x[leaving] - target) / entered[r]
	for i, j := range t.basis {
		t.x[j] -= move * entered[i]
	}
	t.x[q] += move
	t.x[leaving] = target
	t.reprice(q, leaving)
	t.updateInverse(r, entered)
	t.basis[r], t.position[q], t.position[leaving] = int32(q), int32(r), -1
	t.atUpper[leaving] = target == t.high[leaving] && t.high[leaving] > t.low[leaving]
}

// reprice moves the reduced costs along the pivot row.
func (t *tableau) reprice(q, leaving int) {
	step := t.reduced[q] / t.work.alpha[q]
	if step != 0 {
		for j, a := range t.work.alpha {
			if a != 0 {
				t.reduced[j] -= step * a
			}
		}
	}
	t.reduced[q], t.reduced[leaving] = 0, -step
}

// updateInverse applies the pivot to the inverse.
func (t *tableau) updateInverse(r int, entered []float64) {
	m := t.m
	pivotRow := t.inverse[r*m : (r+1)*m]
	scale := 1 / entered[r]
	for k := range pivotRow {
		pivotRow[k] *= scale
	}
	for i, f := range entered {
		if i == r || f == 0 {
			continue
		}
		row := t.inverse[i*m : (i+1)*m]
		for k, v := range pivotRow {
			row[k] -= f * v
		}
	}
}
