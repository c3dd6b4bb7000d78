package loss

import "math"

// doubtful is the share of belief under which a reading is looked at again with
// all the others at hand, and rejected is that under which it is shown as a slip.
const (
	doubtful = 0.9
	rejected = 0.5
)

// judge decides how far each reading is believed, first in the light of the
// readings before it and then, where one is in doubt, in the light of all.
func (r *reckoner) judge(acts []act) []float64 {
	trust, doubt := r.firstImpression(acts)
	for range 3 {
		if !doubt {
			break
		}
		doubt = r.reconsider(acts, trust)
	}
	return trust
}

// firstImpression believes each reading as far as those before it allow.
func (r *reckoner) firstImpression(acts []act) (trust []float64, doubt bool) {
	trust = make([]float64, readsPerEvent*len(r.history.vessel.Events))
	first := *r
	first.trust, first.film = nil, nil
	b := prior(first.hyper, &first.history.traits)
	for i := range acts {
		if first.turn.before(acts, i) {
			b.takeTurn(first.turn.kind)
		}
		if acts[i].what == actRead && b.filled {
			value, g, noise, slip := first.expect(&b, &acts[i])
			share := first.weigh(acts[i].value-value, b.variance(g)+noise, slip)
			trust[acts[i].key] = share
			doubt = doubt || share < doubtful
		}
		first.do(&b, &acts[i], i)
	}
	return trust, doubt
}

// reconsider weighs each reading against all the others, and says whether any
// belief has moved.
func (r *reckoner) reconsider(acts []act, trust []float64) (moved bool) {
	again := *r
	again.trust, again.film = trust, newFilm(len(acts))
	again.run(acts)
	next := append([]float64(nil), trust...)
	again.film.backwards(acts, func(i int, b *belief, h *hindsight) {
		if acts[i].what != actRead || !b.filled {
			return
		}
		_, g, noise, slip := again.expect(b, &acts[i])
		whole := b.smoothed(h)
		value, _, _, _ := again.expect(&whole, &acts[i])
		variance := math.Max(1e-12, whole.variance(g))
		// What the others say: the reading's own part is taken out again.
		share := trust[acts[i].key]
		if own := share / noise; share >= leastBelief && variance*own < 0.999 {
			others := 1/variance - own
			value = (value/variance - acts[i].value*own) / others
			variance = 1 / others
		}
		next[acts[i].key] = again.weigh(acts[i].value-value, variance+noise, slip)
	})
	for i := range trust {
		moved = moved || math.Abs(next[i]-trust[i]) > 0.02
		trust[i] = next[i]
	}
	return moved
}
