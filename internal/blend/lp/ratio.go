package lp

import "slices"

// breakpoint is where a column's reduced cost reaches 0 as the duals move.
type breakpoint struct {
	ratio  float64
	size   float64 // |alpha|: how fast, and how safe a pivot it makes
	column int32
}

func (a breakpoint) before(b breakpoint) bool {
	if a.ratio != b.ratio {
		return a.ratio < b.ratio
	}
	if a.size != b.size {
		return a.size > b.size
	}
	return a.column < b.column
}

// ratioTest picks the column to enter the basis, -1 when none can. It goes as
// far as the dual objective rises: each breakpoint passed is a column that
// moves to its other bound and takes up part of what r is out by. The columns
// passed are returned.
func (t *tableau) ratioTest(out float64, careful bool) (entering int, passed []breakpoint) {
	points := t.work.heap
	if careful {
		return blandRatio(points), nil
	}
	heapify(points)
	last := len(points)
	for last > 0 {
		b := points[0]
		gain := b.size * (t.high[b.column] - t.low[b.column])
		if out-gain < 0 {
			return t.safest(points[:last]), points[last:]
		}
		out -= gain
		last--
		points[0], points[last] = points[last], points[0]
		sink(points[:last], 0)
	}
	if len(points) > 0 && out <= feasibility {
		// The columns together just reach: the last one passed enters.
		return int(points[0].column), points[1:]
	}
	return -1, nil
}

// safest is the largest pivot among breakpoints that coincide with the first:
// the points form a heap, so only their top needs a look.
func (t *tableau) safest(points []breakpoint) int {
	best := points[0]
	limit := best.ratio + 1e-13
	for _, b := range points[1:min(len(points), 64)] {
		if b.ratio <= limit && b.size > best.size {
			best = b
		}
	}
	return int(best.column)
}

// blandRatio takes the least ratio, of equals the first by column index.
func blandRatio(points []breakpoint) int {
	if len(points) == 0 {
		return -1
	}
	return int(slices.MinFunc(points, func(a, b breakpoint) int {
		switch {
		case a.ratio < b.ratio:
			return -1
		case a.ratio > b.ratio:
			return 1
		}
		return int(a.column - b.column)
	}).column)
}

func heapify(points []breakpoint) {
	for i := len(points)/2 - 1; i >= 0; i-- {
		sink(points, i)
	}
}

func sink(points []breakpoint, i int) {
	for {
		child := 2*i + 1
		if child >= len(points) {
			return
		}
		if child+1 < len(points) && points[child+1].before(points[child]) {
			child++
		}
		if !points[child].before(points[i]) {
			return
		}
		points[i], points[child] = points[child], points[i]
		i = child
	}
}
