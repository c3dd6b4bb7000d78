package blend

import "fmt"

// rule is a wish that may stand at many sources.
type rule struct {
	field string
	has   func(*Source) bool
	words func(*Source) string
	drop  func(*Source)
	kind  wishKind
}

var rules = []rule{
	{
		"keep_l", func(s *Source) bool { return s.KeepL > 0 },
		func(s *Source) string { return fmt.Sprintf("%s L is to stay in %s", plainNumber(s.KeepL), s.ID) },
		func(s *Source) { s.given.wholeLeast, s.KeepL = s.usable(), 0 }, keepWish,
	},
	{
		"min_l", func(s *Source) bool { return s.MinL > 0 },
		func(s *Source) string {
			return fmt.Sprintf("at least %s L is to be drawn from %s, if any", plainNumber(s.MinL), s.ID)
		},
		func(s *Source) { s.MinL = 0 }, plainWish,
	},
	{
		"whole", func(s *Source) bool { return s.Whole },
		func(s *Source) string { return fmt.Sprintf("%s is to be used wholly or not at all", s.ID) },
		func(s *Source) { s.Whole = false }, plainWish,
	},
	{
		"must_use", func(s *Source) bool { return s.MustUse },
		func(s *Source) string { return fmt.Sprintf("%s must be used", s.ID) },
		func(s *Source) { s.MustUse = false }, plainWish,
	},
	{
		"must_not_use", func(s *Source) bool { return s.MustNotUse },
		func(s *Source) string { return fmt.Sprintf("%s must not be used", s.ID) },
		func(s *Source) { s.MustNotUse = false }, plainWish,
	},
}

// ruleWishes makes one wish of each rule that stands at any source, so that
// thousands of sources are cleared of it at once.
func ruleWishes(p *Plan) (wishes []wish) {
	for _, r := range rules {
		stands := false
		for i := range p.Sources {
			stands = stands || r.has(&p.Sources[i])
		}
		if !stands {
			continue
		}
		wishes = append(wishes, wish{path: r.field, drop: func(q *Plan, _ *terms) {
			for i := range q.Sources {
				if r.has(&q.Sources[i]) {
					r.drop(&q.Sources[i])
				}
			}
		}})
	}
	return wishes
}

// singleWishes spells a rule out, source by source.
func singleWishes(p *Plan, field string) (wishes []wish) {
	for _, r := range rules {
		if r.field != field {
			continue
		}
		for i := range p.Sources {
			s := &p.Sources[i]
			if !r.has(s) {
				continue
			}
			w := wish{
				path: fmt.Sprintf("sources[%d].%s", i, field), words: r.words(s), kind: r.kind, cask: i, from: s.KeepL,
				drop: func(q *Plan, _ *terms) { r.drop(&q.Sources[i]) },
			}
			if r.kind == keepWish {
				w.set = func(q *Plan, v float64) { q.Sources[i].KeepL = v }
			}
			wishes = append(wishes, w)
		}
	}
	return wishes
}
