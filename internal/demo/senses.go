package demo

import "example.org/croze/internal/cellar"

// words are what the house says of a spirit, young and old.
type words struct{ nose, palate, olderNose, olderPalate []string }

var tasted = map[string]words{
	"Apple": {
		nose:        []string{"green apple skin", "pear drops, a little sharp", "pressed pulp"},
		palate:      []string{"bright and hot", "tart, short", "clean, warm"},
		olderNose:   []string{"baked apple", "quince and wax", "dried apple rings, clove"},
		olderPalate: []string{"round, long", "soft, a little tannin", "honey, then dry"},
	},
	"Rye": {
		nose:        []string{"wet straw", "green pepper, dough", "grassy"},
		palate:      []string{"peppery", "hot, bready", "thin in the middle"},
		olderNose:   []string{"rye crust", "caraway and orange peel", "cedar"},
		olderPalate: []string{"spice, long", "pepper and toffee", "dry, firm"},
	},
	"Oat": {
		nose:        []string{"porridge", "fresh cream", "raw biscuit"},
		palate:      []string{"soft, sweet", "creamy, hot at the end", "plain"},
		olderNose:   []string{"oatcake and butter", "hazelnut", "vanilla husk"},
		olderPalate: []string{"silky", "round, nutty", "long and mild"},
	},
}

var (
	youngColours = []string{"water white", "pale straw", "straw"}
	olderColours = []string{"gold", "old gold", "amber", "light copper"}
)

// older is the number of samples after which a spirit is spoken of as grown.
const older = 8

// senses is what somebody noted of a sample.
func (t *telling) senses(v *vessel) *cellar.Senses {
	say := tasted[t.spiritOf(v)]
	nose, palate, colours, base := say.nose, say.palate, youngColours, 3
	if v.looks >= older {
		nose, palate, colours, base = say.olderNose, say.olderPalate, olderColours, 5
	}
	if v.key == topUpTank { // has never met wood
		colours = youngColours[:1]
	}
	return &cellar.Senses{
		Colour: t.pick(colours), Nose: t.pick(nose), Palate: t.pick(palate),
		Scores: map[string]int{"fruit": base + t.lots.IntN(4), "spice": base + t.lots.IntN(3), "wood": base - 1 + t.lots.IntN(4)},
	}
}

func (t *telling) pick(from []string) string {
	if len(from) == 0 {
		return ""
	}
	return from[t.lots.IntN(len(from))]
}

// spiritOf is the kind of spirit that a vessel was last filled with.
func (t *telling) spiritOf(v *vessel) string {
	last := "Apple"
	for _, r := range runs {
		for _, f := range r.fills {
			if f.key == v.key && r.ago > t.ago {
				last = r.spirit
			}
		}
	}
	return last
}
