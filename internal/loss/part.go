package loss

import "math"

// Part is what a table keeps of a vessel's Share, to sum any of its rows: the
// volume under each of the drawn settings, which the vessels of a stock share,
// and how far it may be off beside them.
type Part struct {
	means    []float32 // litres, by draw
	variance float64   // L², within a draw, on the average of them
}

// StateWithPart is State, and the vessel's part in a sum.
func (m *Model) StateWithPart(code string, at float64) (State, Part, bool) {
	s, known := m.find(code)
	if !known {
		return State{}, Part{}, false
	}
	views := s.views([]float64{at})[0]
	return s.state(at, views), m.shareOf(s, at, views).part(), true
}

func (s Share) part() Part {
	part := Part{means: make([]float32, len(s.sums))}
	for d := range s.sums {
		part.means[d] = float32(s.sums[d].volume.mean)
		part.variance += s.sums[d].volume.variance / float64(len(s.sums))
	}
	return part
}

// under are the glimpses of one draw.
func under(draw int, views []glimpse) []glimpse {
	var own []glimpse
	for i := range views {
		if views[i].draw == draw {
			own = append(own, views[i])
		}
	}
	return own
}

// PartSum is the sum of parts of one model.
type PartSum struct {
	means    []float64
	variance float64
}

// Add adds a share of a part, 0 to 1.
func (s *PartSum) Add(p Part, share float64) {
	if s.means == nil && len(p.means) > 0 {
		s.means = make([]float64, len(p.means))
	}
	for d, mean := range p.means {
		s.means[d] += share * float64(mean)
	}
	s.variance += share * share * p.variance
}

// SD is the standard deviation of the sum, litres: what errs in each vessel by
// itself, and what the settings make all of them err alike.
func (s *PartSum) SD() float64 {
	if len(s.means) == 0 {
		return 0
	}
	mean, spread := 0.0, 0.0
	for _, x := range s.means {
		mean += x / float64(len(s.means))
	}
	for _, x := range s.means {
		spread += square(x-mean) / float64(len(s.means))
	}
	return math.Sqrt(s.variance + spread)
}
