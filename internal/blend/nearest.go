package blend

import (
	"math"
	"sort"
)

// Nearest is what would make the plan work. Each change is enough on its own
// and as small as it can be, everything else being kept; the smallest, as a
// part of what was asked for, comes first. Together lists wishes to drop when no
// single change is enough.
type Nearest struct {
	VolumeL     *float64 `json:"volume_l,omitempty"`     // nearest volume, the strength and all limits kept
	StrengthPct *float64 `json:"strength_pct,omitempty"` // nearest strength, the volume and all limits kept
	Changes     []Change `json:"changes,omitempty"`
	Together    []Change `json:"together,omitempty"`
}

// Change is one change to a plan. With no To the wish is dropped.
type Change struct {
	Path string   `json:"path"`
	Wish string   `json:"wish"`
	From *float64 `json:"from,omitempty"`
	To   *float64 `json:"to,omitempty"`
}

// nearest works out the smallest change to each member of a clash.
func (q *inquiry) nearest(clash []wish) (*Nearest, error) {
	n := &Nearest{}
	for _, w := range clash {
		c, err := q.change(w)
		if err != nil {
			return nil, err
		}
		if c == nil {
			continue
		}
		n.Changes = append(n.Changes, *c)
		switch {
		case w.kind == volumeWish && n.VolumeL == nil:
			n.VolumeL = c.To
		case w.kind == strengthWish && n.StrengthPct == nil:
			n.StrengthPct = c.To
		}
	}
	sort.SliceStable(n.Changes, func(a, b int) bool { return n.Changes[a].size() < n.Changes[b].size() })
	if len(n.Changes) > 0 {
		return n, nil
	}
	var err error
	n.Together, err = q.together()
	return n, err
}

// size is how much is changed, as a part of what it was; dropping is all of it.
func (c Change) size() float64 {
	if c.From == nil || c.To == nil || *c.From == 0 {
		return 1
	}
	return math.Abs(*c.To-*c.From) / math.Abs(*c.From)
}

// change finds the smallest change to one wish that makes the plan possible;
// nil when none does.
func (q *inquiry) change(w wish) (*Change, error) {
	ok, err := q.shown(q.allBut(w.path))
	if err != nil || !ok {
		// Not even without it; for a strength, "without" is more than any one strength allows.
		return nil, err
	}
	c := &Change{Path: w.path, Wish: w.words}
	if w.set == nil {
		return c, nil
	}
	to, found, err := q.move(w)
	if err != nil {
		return nil, err
	}
	if !found {
		if w.kind == volumeWish || w.kind == strengthWish || w.kind == keepWish {
			return nil, nil
		}
		return c, nil
	}
	moved := w.moved(to)
	return &moved, nil
}

func (q *inquiry) allBut(path string) []wish {
	var kept []wish
	for _, w := range q.wishes {
		if w.path != path {
			kept = append(kept, w)
		}
	}
	return kept
}

// move finds the number nearest to a wish's own at which the plan is possible.
func (q *inquiry) move(w wish) (to float64, found bool, err error) {
	switch w.kind {
	case volumeWish:
		return q.nearestVolume(w)
	case strengthWish:
		return q.nearestStrength(w)
	case ageWish:
		return q.nearestAge(w)
	case countWish:
		return q.nearestCount(w)
	case keepWish:
		return q.nearestKeep(w)
	case chanceWish:
		return q.nearestChance(w)
	}
	return q.nearestLevel(w)
}

// works says whether the plan is possible with one number replaced.
func (q *inquiry) works(w wish, v float64) (bool, error) { return q.worksKeeping(q.wishes, w, v) }

// worksKeeping says so of a plan that keeps only some wishes.
func (q *inquiry) worksKeeping(kept []wish, w wish, v float64) (bool, error) {
	if v <= 0 && (w.kind == volumeWish || w.kind == strengthWish) {
		return false, nil // nothing is no bottling
	}
	original := q.plan
	defer func() { q.plan = original }()
	p := copyPlan(original)
	w.set(&p, v)
	q.plan = &p
	return q.shown(kept)
}

// rounded rounds v to a unit away from `from`, which is where it is possible,
// and one unit more if need be.
func (q *inquiry) rounded(w wish, v, unit float64) (float64, bool, error) {
	round, step := math.Floor, -unit
	if v > w.from {
		round, step = math.Ceil, unit
	}
	// Decimal units are divided by, since they have no exact binary form.
	try := round(v/unit+math.Copysign(1e-6, -step)) / math.Round(1/unit)
	for range 3 {
		ok, err := q.works(w, try)
		if err != nil || ok {
			return try, ok, err
		}
		try = math.Round((try+step)/unit) / math.Round(1/unit)
	}
	// A whole vessel may leave no room for rounding.
	ok, err := q.works(w, v)
	return v, ok, err
}
