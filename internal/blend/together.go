package blend

// together keeps wish after wish while that is possible; those that it cannot
// keep are to be changed together. Rules and limits are kept first, the target
// gives way first, and is then moved as little as need be.
func (q *inquiry) together() ([]Change, error) {
	var kept, dropped []wish
	for _, w := range q.wishes {
		ok, err := q.shown(joined(kept, []wish{w}))
		if err != nil {
			return nil, err
		}
		if ok {
			kept = append(kept, w)
		} else {
			dropped = append(dropped, w)
		}
	}
	rest := copyPlan(q.plan)
	on := terms{margin: q.margin}
	var out []Change
	for _, w := range dropped {
		if w.kind != volumeWish && w.kind != strengthWish {
			w.drop(&rest, &on)
			out = append(out, Change{Path: w.path, Wish: w.words})
		}
	}
	if len(q.plan.goals()) > 1 {
		return append(out, targetsOf(dropped)...), nil
	}
	sub := &inquiry{plan: &rest, margin: on.margin}
	sub.wishes = sub.respelled()
	moved, err := sub.moveTarget()
	q.work.Pivots += sub.work.Pivots
	q.work.Nodes += sub.work.Nodes
	return append(out, moved...), err
}

func targetsOf(dropped []wish) (out []Change) {
	for _, w := range dropped {
		if w.kind == volumeWish || w.kind == strengthWish {
			out = append(out, Change{Path: w.path, Wish: w.words})
		}
	}
	return out
}

// moveTarget finds the strength nearest to the wanted one at which anything can
// be made, and then the volume nearest to the wanted one.
func (q *inquiry) moveTarget() ([]Change, error) {
	var volume, strength wish
	for _, w := range q.wishes {
		switch w.kind {
		case volumeWish:
			volume = w
		case strengthWish:
			strength = w
		}
	}
	var out []Change
	ok, err := q.shown(q.allBut(volume.path))
	if err != nil {
		return nil, err
	}
	if !ok {
		to, found, err := q.strengthWhere(strength, q.allBut(volume.path))
		if err == nil && !found {
			to, found, err = q.ownStrength(volume, strength)
		}
		if err != nil || !found {
			return nil, err
		}
		out = append(out, strength.moved(to))
		strength.set(q.plan, to)
	}
	if ok, err = q.shown(q.wishes); err != nil || ok {
		return out, err
	}
	to, found, err := q.nearestVolume(volume)
	if err != nil || !found {
		return nil, err
	}
	return append(out, volume.moved(to)), nil
}

func (w wish) moved(to float64) Change {
	from := w.from
	return Change{Path: w.path, Wish: w.words, From: &from, To: &to}
}

// ownStrength is what some choice of vessels that keeps every other wish comes
// to by itself: whole vessels without water may allow no round number.
func (q *inquiry) ownStrength(volume, strength wish) (float64, bool, error) {
	m := q.without([]wish{volume, strength})
	s, found, err := q.optimum(m)
	if err != nil || !found {
		return 0, false, err
	}
	alcohol, mass := 0.0, 0.0
	for i, v := range m.drawn(s.X) {
		alcohol += v * m.casks[i].alcohol
		mass += v * m.casks[i].mass
	}
	made, err := mixture(alcohol, mass)
	return made.StrengthPct, err == nil && made.StrengthPct > 0, err
}
