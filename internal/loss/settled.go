package loss

// strand is one way in which a vessel's life may have gone: under one set of
// settings and with one turn (or none). Its weight is the chance that it is so.
type strand struct {
	reckoner reckoner
	draw     int // which of the drawn settings
	weight   float64
	end      belief // after the last event
}

// settled is a vessel with all that is held of it.
type settled struct {
	history *history
	verdict verdict
	strands []strand
	slips   []int // events of which a reading was set aside
}

// leastChance is the chance under which a turn is left out of the strands.
const leastChance = 0.03

// settle works out what is held of a vessel under the most likely settings and
// under each of the drawn ones.
func settle(h *history, best *hyper, drawn []*hyper) *settled {
	s := &settled{history: h}
	r := newReckoner(h, best)
	s.verdict = r.examine(h.acts)
	none := 1 - s.verdict.leak - s.verdict.drop
	courses := []struct {
		turn   turn
		chance float64
	}{{turn{}, none}, {s.verdict.bestLeak, s.verdict.leak}, {s.verdict.bestDrop, s.verdict.drop}}
	kept, most := 0.0, 0.0
	for _, c := range courses {
		if c.chance >= leastChance {
			kept += c.chance
		}
	}
	for _, c := range courses {
		if c.chance < leastChance {
			continue
		}
		trust := s.follow(best, drawn, c.turn, c.chance/kept)
		if c.chance > most {
			most = c.chance
			s.slips = slipsOf(h.acts, trust)
		}
	}
	return s
}

// follow adds the strands of one turn, and returns how far each reading is believed there.
func (s *settled) follow(best *hyper, drawn []*hyper, t turn, chance float64) []float64 {
	acts := s.history.acts
	r := newReckoner(s.history, best)
	r.turn = t
	r.tangent = settledTangent(r, acts)
	trust := r.judge(acts)
	for i, h := range drawn {
		one := newReckoner(s.history, h)
		one.turn, one.trust = t, trust
		first := one.run(acts)
		one.tangent = tangentAt(&first)
		s.strands = append(s.strands, strand{one, i, chance / float64(len(drawn)), one.run(acts)})
	}
	return trust
}

// settledTangent finds the rate and the indrink at which a vessel's history
// settles, and so where the tangents are laid.
func settledTangent(r reckoner, acts []act) tangent {
	for range 2 {
		end := r.run(acts)
		r.tangent = tangentAt(&end)
	}
	return r.tangent
}

func slipsOf(acts []act, trust []float64) []int {
	var slips []int
	for i := range acts {
		if acts[i].what == actRead && trust[acts[i].key] < rejected {
			if n := len(slips); n == 0 || slips[n-1] != acts[i].event {
				slips = append(slips, acts[i].event)
			}
		}
	}
	return slips
}
