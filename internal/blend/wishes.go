package blend

import "fmt"

// wish is one thing that the plan asks for and could do without, for finding
// out which of them clash.
type wish struct {
	path  string
	words string
	// drop takes the wish out of a plan (whose slices and pointers it may not
	// share with another) and of the terms.
	drop func(*Plan, *terms)
	// set replaces the wish's number; nil for one that has none.
	set  func(*Plan, float64)
	from float64
	kind wishKind
	goal int // target it belongs to
	band int // of a share or score
	cask int // index of a source
}

type wishKind uint8

const (
	plainWish wishKind = iota // has no number to move
	volumeWish
	strengthWish
	shareLeast
	shareMost
	scoreLeast
	scoreMost
	residueWish
	ageWish
	countWish
	keepWish
	chanceWish
)

// wishesOf lists what a plan asks for, the source by source ones apart.
func wishesOf(p *Plan) (wishes []wish) {
	for i := range p.goals() {
		wishes = append(wishes, limitWishes(p, i)...)
	}
	if !p.Water {
		wishes = append(wishes, wish{path: "water", words: "no water is to be added", drop: func(q *Plan, _ *terms) { q.Water = true }})
	}
	if p.Chance > 0 {
		wishes = append(wishes, wish{
			path: "chance", words: fmt.Sprintf("the chance of making it is to be %s %%", plainNumber(100*p.Chance)), kind: chanceWish, from: p.Chance,
			drop: func(q *Plan, on *terms) { q.Chance, on.margin = 0, 0 }, set: func(q *Plan, v float64) { q.Chance = v },
		})
	}
	for i := range p.goals() {
		wishes = append(wishes, targetWishes(p, i)...)
	}
	return wishes
}

// goalAt is the target with its place in the plan file.
func goalAt(p *Plan, i int) (g *Target, path string) {
	if p.Target != nil {
		return p.Target, "target"
	}
	return &p.Targets[i], fmt.Sprintf("targets[%d]", i)
}

func targetWishes(p *Plan, i int) []wish {
	g, path := goalAt(p, i)
	of := ""
	if len(p.Targets) > 1 {
		of = " for " + g.title(i)
	}
	free := func(on *terms, f freedom) {
		for len(on.free) <= i {
			on.free = append(on.free, freedom{})
		}
		on.free[i] = f
	}
	return []wish{
		{
			path: path + ".volume_l", words: fmt.Sprintf("%s L is wanted%s", plainNumber(g.VolumeL), of), kind: volumeWish, goal: i, from: g.VolumeL,
			drop: func(_ *Plan, on *terms) {
				if i >= len(on.free) || !on.free[i].strength {
					free(on, freedom{volume: true})
				}
			},
			set: func(q *Plan, v float64) { g, _ := goalAt(q, i); g.VolumeL = v },
		},
		{
			path: path + ".strength_pct", words: fmt.Sprintf("it is to be %s %% vol%s", plainNumber(g.StrengthPct), of), kind: strengthWish, goal: i, from: g.StrengthPct,
			drop: func(_ *Plan, on *terms) { free(on, freedom{strength: true}) },
			set:  func(q *Plan, v float64) { g, _ := goalAt(q, i); g.StrengthPct = v },
		},
	}
}

// limitsAt finds the limits that hold for a target, which may be the plan's.
func limitsAt(p *Plan, i int) (l *Limits, path string) {
	g, path := goalAt(p, i)
	if g.Limits != nil {
		return g.Limits, path + ".limits"
	}
	return p.Limits, "limits"
}

func limitWishes(p *Plan, i int) []wish {
	l, path := limitsAt(p, i)
	if l == nil || (i > 0 && path == "limits" && sharesLimits(p, i)) {
		return nil
	}
	of := ""
	if len(p.Targets) > 1 && path != "limits" {
		of = " for " + p.Targets[i].title(i)
	}
	at := func(q *Plan) *Limits { l, _ := limitsAt(q, i); return l }
	wishes := scalarWishes(l, path, of, i, at)
	for b := range l.Shares {
		wishes = append(wishes, bandWishes(l.Shares[b], fmt.Sprintf("%s.shares[%d]", path, b), of, i, b,
			func(q *Plan) *Band { return &at(q).Shares[b] }, true)...)
	}
	for b := range l.Scores {
		wishes = append(wishes, bandWishes(l.Scores[b], fmt.Sprintf("%s.scores[%d]", path, b), of, i, b,
			func(q *Plan) *Band { return &at(q).Scores[b] }, false)...)
	}
	return wishes
}

// sharesLimits says that an earlier target has the plan's limits too, so that
// they are listed already.
func sharesLimits(p *Plan, i int) bool {
	for k := range i {
		if _, path := limitsAt(p, k); path == "limits" {
			return true
		}
	}
	return false
}

func scalarWishes(l *Limits, path, of string, goal int, at func(*Plan) *Limits) (wishes []wish) {
	if l.MinAgeDays > 0 {
		wishes = append(wishes, wish{
			path: path + ".min_age_days", words: fmt.Sprintf("no vessel is to be younger than %s days%s", plainNumber(l.MinAgeDays), of),
			kind: ageWish, goal: goal, from: l.MinAgeDays,
			drop: func(q *Plan, _ *terms) { at(q).MinAgeDays = 0 }, set: func(q *Plan, v float64) { at(q).MinAgeDays = v },
		})
	}
	if l.MaxVessels > 0 {
		wishes = append(wishes, wish{
			path: path + ".max_vessels", words: fmt.Sprintf("at most %d vessels are to be used%s", l.MaxVessels, of),
			kind: countWish, goal: goal, from: float64(l.MaxVessels),
			drop: func(q *Plan, _ *terms) { at(q).MaxVessels = 0 }, set: func(q *Plan, v float64) { at(q).MaxVessels = int(v) },
		})
	}
	if l.MaxResidue > 0 {
		wishes = append(wishes, wish{
			path: path + ".max_residue", words: fmt.Sprintf("dissolved solids are to be at most %s g/100 mL%s", plainNumber(l.MaxResidue), of),
			kind: residueWish, goal: goal, from: l.MaxResidue,
			drop: func(q *Plan, _ *terms) { at(q).MaxResidue = 0 }, set: func(q *Plan, v float64) { at(q).MaxResidue = v },
		})
	}
	return wishes
}

func bandWishes(b Band, path, of string, goal, index int, at func(*Plan) *Band, share bool) (wishes []wish) {
	words := func(side string, v float64) string {
		if share {
			return fmt.Sprintf("%s is to be at %s %s %% of the alcohol%s", b.Of, side, plainNumber(100*v), of)
		}
		return fmt.Sprintf("the score for %s is to be at %s %s%s", b.Of, side, plainNumber(v), of)
	}
	least, most := shareLeast, shareMost
	if !share {
		least, most = scoreLeast, scoreMost
	}
	if b.Min != nil {
		wishes = append(wishes, wish{
			path: path + ".min", words: words("least", *b.Min), kind: least, goal: goal, band: index, from: *b.Min,
			drop: func(q *Plan, _ *terms) { at(q).Min = nil }, set: func(q *Plan, v float64) { at(q).Min = &v },
		})
	}
	if b.Max != nil {
		wishes = append(wishes, wish{
			path: path + ".max", words: words("most", *b.Max), kind: most, goal: goal, band: index, from: *b.Max,
			drop: func(q *Plan, _ *terms) { at(q).Max = nil }, set: func(q *Plan, v float64) { at(q).Max = &v },
		})
	}
	return wishes
}
