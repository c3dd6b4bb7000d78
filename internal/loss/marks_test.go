package loss

import "math"

// lineOf draws the least-squares line through a cask's points and reads it at a day.
func lineOf(points []simPoint, day float64, of func(simPoint) float64) float64 {
	var n, sx, sy, sxx, sxy float64
	for _, p := range points {
		if y := of(p); !math.IsNaN(y) {
			x := p.day - day
			n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
		}
	}
	if d := n*sxx - sx*sx; n > 1 && d > 1 {
		return (sxx*sy - sx*sxy) / d
	}
	return sy / n
}

// marks is how forecasts did on stores: root-mean-square errors over those of
// three rivals, and the share of 90 % intervals that hold the truth.
type marks struct {
	line, helped, last squaredErrors
	held               [2]float64
	count              float64
}

// squaredErrors sums squared errors of volume (as a share of the capacity) and strength.
type squaredErrors [2]float64

func (t *squaredErrors) add(c *simCask, truth simPoint, volume, strength float64) {
	t[0] += square((volume - truth.volume) / c.capacity)
	t[1] += square(strength - truth.strength)
}

// ratios are the root-mean-square errors over a rival's.
func (t squaredErrors) ratios(rival squaredErrors) (volume, strength float64) {
	return math.Sqrt(t[0] / rival[0]), math.Sqrt(t[1] / rival[1])
}

// forecastMarks compares forecasts two years on with the truth. Casks that leak
// are left out. The rivals: a least-squares line through what was written down;
// the same helped, with slips left out and what was drawn put back; the last
// value and 2 % a year.
func forecastMarks(stores []*store) (mine squaredErrors, m marks) {
	for _, s := range stores {
		model := Fit(s.stock)
		for i, c := range s.casks {
			if c.leak > 0 {
				continue
			}
			truth := s.later[i]
			got, _ := model.State(c.vessel.Code, truth.day)
			mine.add(c, truth, got.VolumeL.Mean, got.StrengthPct.Mean)
			m.line.add(c, truth, lineOf(c.raw, truth.day, volumeOf), lineOf(c.raw, truth.day, strengthOf))
			m.helped.add(c, truth, lineOf(c.points, truth.day, volumeOf)-c.drawn, lineOf(c.points, truth.day, strengthOf))
			m.last.add(c, truth, c.lastVolume(truth.day), c.points[len(c.points)-1].strength)
			m.held[0] += holds(got.VolumeL, truth.volume)
			m.held[1] += holds(got.StrengthPct, truth.strength)
			m.count++
		}
	}
	m.held[0] /= m.count
	m.held[1] /= m.count
	return mine, m
}

func volumeOf(p simPoint) float64   { return p.volume }
func strengthOf(p simPoint) float64 { return p.strength }

func (c *simCask) lastVolume(day float64) float64 {
	for i := len(c.points) - 1; ; i-- {
		if p := c.points[i]; !math.IsNaN(p.volume) {
			return (p.volume - c.drawn) * math.Exp(-0.02*(day-p.day)/daysPerYear)
		}
	}
}

func holds(e Estimate, truth float64) float64 {
	if e.Low <= truth && truth <= e.High {
		return 1
	}
	return 0
}
