package blend

import (
	"errors"
	"math"

	"example.org/croze/internal/blend/lp"
)

// Reachable is what could be made from the stock with every limit kept.
// Outline is a closed line in the plane of volume and strength, up its largest
// volumes and back down its smallest, for a picture.
type Reachable struct {
	VolumeLoL     *float64 `json:"volume_lo_l,omitempty"` // at the wanted strength
	VolumeHiL     *float64 `json:"volume_hi_l,omitempty"`
	StrengthLoPct *float64 `json:"strength_lo_pct,omitempty"` // at the wanted volume
	StrengthHiPct *float64 `json:"strength_hi_pct,omitempty"`
	Outline       []Point  `json:"outline,omitempty"`
}

// Point is a bottling by its volume and strength.
type Point struct {
	VolumeL     float64 `json:"volume_l"`
	StrengthPct float64 `json:"strength_pct"`
}

// extent is the range of volume at a strength.
type extent struct {
	strength, low, high float64
	some                bool
}

// outlineSteps is how many strengths the outline is drawn through.
const outlineSteps = 24

// reachEffort bounds the work of one point; see lp.DefaultEffort.
const reachEffort = 100_000_000

// Reach works out what could be made. It is for one target: with several it is empty.
func Reach(p Plan) (Reachable, error) {
	if err := p.ready(); err != nil {
		return Reachable{}, err
	}
	return reach(&p, 0)
}

func reach(p *Plan, margin float64) (Reachable, error) {
	if len(p.goals()) != 1 {
		return Reachable{}, nil
	}
	goal := p.goals()[0]
	var out Reachable
	at, err := extentAt(p, margin, goal.StrengthPct)
	if err != nil {
		return out, err
	}
	if at.some {
		out.VolumeLoL, out.VolumeHiL = &at.low, &at.high
	}
	extents, err := extents(p, margin)
	if err != nil {
		return out, err
	}
	out.Outline = outline(extents)
	return out, out.strengths(p, margin, goal.VolumeL, extents)
}

// extents goes up through the strengths that are worth a picture: from half of
// the least that is about to the greatest.
func extents(p *Plan, margin float64) ([]extent, error) {
	low, high := strengthSpan(p)
	var list []extent
	for i := range outlineSteps + 1 {
		e, err := extentAt(p, margin, low+(high-low)*float64(i)/outlineSteps)
		if err != nil {
			return nil, err
		}
		list = append(list, e)
	}
	return list, nil
}

func strengthSpan(p *Plan) (low, high float64) {
	low = p.goals()[0].StrengthPct
	high = low
	for i := range p.Sources {
		if s := p.Sources[i].StrengthPct; s > 0 && !p.Sources[i].MustNotUse {
			low, high = math.Min(low, s), math.Max(high, s)
		}
	}
	if p.Water {
		low /= 2
	}
	return low, high
}

// extentAt finds the least and the largest volume at a strength.
func extentAt(p *Plan, margin, strength float64) (extent, error) {
	q := copyPlan(p)
	g, _ := goalAt(&q, 0)
	g.StrengthPct = strength
	if q.Objective != ClosestScores {
		q.Objective = LeastWater
	}
	e := extent{strength: strength}
	for _, sign := range []float64{1, -1} {
		m := build(&q, terms{margin: margin, free: []freedom{{volume: true, wide: sign < 0}}})
		m.program.ClearCosts()
		m.program.MostEffort = reachEffort
		m.program.SetCost(m.parts[0].volume, sign)
		s, err := m.solve()
		if errors.Is(err, lp.ErrSingular) {
			return e, nil // on a knife's edge, as at the strength of the strongest vessel
		}
		if err != nil || s.X == nil {
			return e, err
		}
		v := s.X[m.parts[0].volume]
		if sign > 0 {
			e.low = v
		} else {
			e.high = v
		}
	}
	e.some = true
	return e, nil
}

func outline(extents []extent) []Point {
	var up, down []Point
	for _, e := range extents {
		if e.some {
			up = append(up, Point{e.high, e.strength})
			down = append(down, Point{e.low, e.strength})
		}
	}
	for i := len(down) - 1; i >= 0; i-- {
		up = append(up, down[i])
	}
	return up
}

func (e extent) holds(volume float64) bool {
	return e.some && volume >= e.low*(1-1e-9) && volume <= e.high*(1+1e-9)
}

// strengths finds the range of strength at a volume: the outermost extents
// that hold it, closed in on from those outside.
func (r *Reachable) strengths(p *Plan, margin, volume float64, list []extent) error {
	first, last := -1, -1
	for i, e := range list {
		if e.holds(volume) {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first < 0 {
		return nil
	}
	low, high := list[first].strength, list[last].strength
	var err error
	weaker := 0.01 // below the picture
	if first > 0 {
		weaker = list[first-1].strength
	}
	if low, err = edge(p, margin, volume, low, weaker); err != nil {
		return err
	}
	if last < len(list)-1 {
		if high, err = edge(p, margin, volume, high, list[last+1].strength); err != nil {
			return err
		}
	}
	r.StrengthLoPct, r.StrengthHiPct = &low, &high
	return nil
}

// edge closes in on the strength where a volume stops being reachable.
func edge(p *Plan, margin, volume, good, bad float64) (float64, error) {
	for math.Abs(good-bad) > 1e-4 {
		middle := (good + bad) / 2
		e, err := extentAt(p, margin, middle)
		if err != nil {
			return good, err
		}
		if e.holds(volume) {
			good = middle
		} else {
			bad = middle
		}
	}
	return good, nil
}
