package lp

import "math"

// startFromLogicals makes the logical columns the basis.
func (t *tableau) startFromLogicals() {
	for j := range t.position {
		t.position[j] = -1
	}
	for i := range t.m {
		t.basis[i] = int32(t.n + i)
		t.position[t.n+i] = int32(i)
	}
}

// refresh inverts the basis afresh and works out the reduced costs and values
// that follow from it. It is false when the basis is singular.
func (t *tableau) refresh() bool {
	t.effort += int64(2*len(t.value) + t.n + t.m*t.m*t.m)
	if !t.invert() {
		return false
	}
	t.priceAll()
	t.settleBounds()
	t.placeBasics()
	return true
}

// invert works out the inverse of the basis by elimination with partial pivoting.
func (t *tableau) invert() bool {
	m := t.m
	b, inv := t.work.square[:m*m], t.inverse
	clear(b)
	clear(inv)
	for i, j := range t.basis {
		t.eachEntry(int(j), func(r int32, v float64) { b[int(r)*m+i] = v })
		inv[i*m+i] = 1
	}
	for k := range m {
		if !pivotUp(b, inv, m, k) {
			return false
		}
		eliminate(b, inv, m, k)
	}
	return true
}

// pivotUp swaps the row with the largest entry of column k into place k.
func pivotUp(b, inv []float64, m, k int) bool {
	best := k
	for i := k + 1; i < m; i++ {
		if math.Abs(b[i*m+k]) > math.Abs(b[best*m+k]) {
			best = i
		}
	}
	if math.Abs(b[best*m+k]) < 1e-12 {
		return false
	}
	if best != k {
		for c := range m {
			b[best*m+c], b[k*m+c] = b[k*m+c], b[best*m+c]
			inv[best*m+c], inv[k*m+c] = inv[k*m+c], inv[best*m+c]
		}
	}
	return true
}

// eliminate clears column k in every row but k, in both halves.
func eliminate(b, inv []float64, m, k int) {
	scale := 1 / b[k*m+k]
	for c := range m {
		b[k*m+c] *= scale
		inv[k*m+c] *= scale
	}
	for i := range m {
		f := b[i*m+k]
		if i == k || f == 0 {
			continue
		}
		for c := range m {
			b[i*m+c] -= f * b[k*m+c]
			inv[i*m+c] -= f * inv[k*m+c]
		}
	}
}

// eachEntry visits the entries of a column, logicals too.
func (t *tableau) eachEntry(j int, visit func(row int32, value float64)) {
	if j >= t.n {
		visit(int32(j-t.n), -1)
		return
	}
	for k := t.start[j]; k < t.start[j+1]; k++ {
		visit(t.row[k], t.value[k])
	}
}

// dot multiplies a row vector by column j.
func (t *tableau) dot(y []float64, j int) float64 {
	if j >= t.n {
		return -y[j-t.n]
	}
	sum := 0.0
	for k := t.start[j]; k < t.start[j+1]; k++ {
		sum += y[t.row[k]] * t.value[k]
	}
	return sum
}

// priceAll works out the duals and every reduced cost.
func (t *tableau) priceAll() {
	y := t.work.dual
	clear(y)
	for i, j := range t.basis {
		if c := t.cost[j]; c != 0 {
			for k := range t.m {
				y[k] += c * t.inverse[i*t.m+k]
			}
		}
	}
	for j := range t.reduced {
		if t.position[j] >= 0 {
			t.reduced[j] = 0
			continue
		}
		t.reduced[j] = t.cost[j] - t.dot(y, j)
	}
}

// settleBounds puts each column outside the basis at the bound its reduced
// cost points at; one without a sign stays where it was.
func (t *tableau) settleBounds() {
	for j, d := range t.reduced {
		if t.position[j] >= 0 {
			continue
		}
		switch {
		case d > dualNoise:
			t.atUpper[j] = false
		case d < -dualNoise:
			t.atUpper[j] = true
		}
		t.x[j] = t.bound(j)
	}
}

func (t *tableau) bound(j int) float64 {
	if t.atUpper[j] {
		return t.high[j]
	}
	return t.low[j]
}

// placeBasics works out the values of the basis from the rest.
func (t *tableau) placeBasics() {
	sum := t.work.shift
	clear(sum)
	for j := range t.x {
		if v := t.x[j]; t.position[j] < 0 && v != 0 {
			t.addColumn(sum, j, v)
		}
	}
	for i, j := range t.basis {
		v := 0.0
		for k := range t.m {
			v -= t.inverse[i*t.m+k] * sum[k]
		}
		t.x[j] = v
	}
}

// addColumn adds f times column j to a column vector.
func (t *tableau) addColumn(sum []float64, j int, f float64) {
	if j >= t.n {
		sum[j-t.n] -= f
		return
	}
	for k := t.start[j]; k < t.start[j+1]; k++ {
		sum[t.row[k]] += f * t.value[k]
	}
}
