package demo

import (
	"math"
	"strconv"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// built is a row of the house's list of vessels.
type built struct {
	key    string // how the story calls it
	kind   cellar.VesselKind
	litres float64
	wood   string
	state  cellar.WoodState
	place  string
	habit  habit
	months int // between samples
	maker  string
	note   string
}

const (
	fresh = cellar.NewWood
	used  = cellar.UsedWood
)

var casks = []built{
	{"c225a", cellar.Cask, 225, "oak", used, longBarn, dips, 2, "QM 225/1", "Held cider brandy twice before."},
	{"c225b", cellar.Cask, 225, "oak", used, longBarn, dips, 2, "QM 225/2", ""},
	{"c225c", cellar.Cask, 225, "oak", fresh, longBarn, dips, 2, "QM 225/3", "Swelled with water, waiting for the next rye."},
	{"c200", cellar.Cask, 200, "oak", fresh, mossCellar, minds, 2, "QM 200/1", "Light toast."},
	{"c110a", cellar.Cask, 110, "oak", fresh, mossCellar, dips, 2, "CPR-0117", ""},
	{"c110b", cellar.Cask, 110, "chestnut", used, mossCellar, minds, 3, "CPR-0118", ""},
	{"c100", cellar.Cask, 100, "acacia", fresh, pressHouse, dips, 2, "CPR-0121", "No toast."},
	{"c60", cellar.Cask, 60, "oak", used, rafterLoft, weighs, 2, "", ""},
	{"c60b", cellar.Cask, 60, "chestnut", fresh, rafterLoft, weighs, 1, "CPR-0166", ""},
	{"c55a", cellar.Cask, 55, "chestnut", fresh, rafterLoft, weighs, 2, "", "Medium toast."},
	{"c55b", cellar.Cask, 55, "oak", fresh, longBarn, weighs, 2, "", "Medium toast."},
	{"c50a", cellar.Cask, 50, "oak", used, longBarn, weighs, 1, "CPR-0131", "One stave mended by the cooper before the first fill."},
	{"c50b", cellar.Cask, 50, "apple wood", fresh, mossCellar, weighs, 2, "", "From the old orchard's own trees."},
	{"c50c", cellar.Cask, 50, "oak", used, mossCellar, weighs, 2, "", ""},
	{"c40", cellar.Cask, 40, "acacia", used, pressHouse, weighs, 2, "", ""},
	{"c30a", cellar.Cask, 30, "oak", fresh, rafterLoft, weighs, 1, "CPR-0140", ""},
	{"c30b", cellar.Cask, 30, "chestnut", fresh, rafterLoft, weighs, 1, "CPR-0141", ""},
	{"c30c", cellar.Cask, 30, "oak", used, pressHouse, reads, 2, "", ""},
	{"c30d", cellar.Cask, 30, "apple wood", used, pressHouse, minds, 3, "", ""},
	{"c20a", cellar.Cask, 20, "oak", fresh, pressHouse, weighs, 1, "CPR-0152", ""},
	{"c20b", cellar.Cask, 20, "oak", used, mossCellar, weighs, 3, "", ""},
	{"c15", cellar.Cask, 15, "acacia", fresh, rafterLoft, weighs, 2, "", ""},
	{"c10a", cellar.Cask, 10, "oak", fresh, rafterLoft, weighs, 2, "", ""},
	{"c10b", cellar.Cask, 10, "chestnut", used, pressHouse, tastes, 2, "", ""},
	{"c5a", cellar.Cask, 5, "oak", fresh, pressHouse, weighs, 2, "", ""},
	{"c5b", cellar.Cask, 5, "apple wood", fresh, pressHouse, weighs, 2, "", ""},
}

var others = []built{
	{"h100", cellar.Hybrid, 100, "oak", fresh, longBarn, dips, 3, "HYB-100-02", ""},
	{"h60", cellar.Hybrid, 60, "oak", used, mossCellar, weighs, 3, "HYB-060-01", ""},
	{"h50", cellar.Hybrid, 50, "chestnut", fresh, longBarn, weighs, 2, "HYB-050-04", ""},
	{"h30", cellar.Hybrid, 30, "oak", used, rafterLoft, weighs, 2, "", ""},
	{"h25", cellar.Hybrid, 25, "acacia", fresh, pressHouse, minds, 3, "", ""},
	{"j25", cellar.Jar, 25, "oak", fresh, pressHouse, dips, 3, "", "Eight staves, 21 cm, light toast."},
	{"j20", cellar.Jar, 20, "oak", fresh, pressHouse, dips, 1, "", "Six staves of the same wood as its twin."},
	{"j10a", cellar.Jar, 10, "chestnut", fresh, pressHouse, dips, 3, "", ""},
	{"j10b", cellar.Jar, 10, "oak", used, pressHouse, proofs, 3, "", ""},
	{"j10c", cellar.Jar, 10, "apple wood", fresh, pressHouse, dips, 3, "", ""},
	{"j5a", cellar.Jar, 5, "oak", fresh, pressHouse, dries, 3, "", "Twice the usual staves: dark, so its solids are dried and weighed."},
	{"j5b", cellar.Jar, 5, "apple wood", fresh, pressHouse, dips, 3, "", ""},
	{"j5c", cellar.Jar, 5, "acacia", fresh, pressHouse, tastes, 3, "", ""},
	{"t300", cellar.Tank, 300, "", "", tunRoom, weighs, 1, "T-1", "For blending and reducing. Earth it before pumping."},
	{"t200", cellar.Tank, 200, "", "", tunRoom, dips, 3, "T-2", ""},
	{"t100", cellar.Tank, 100, "", "", tunRoom, weighs, 3, "T-3", ""},
	{"t50", cellar.Tank, 50, "", "", tunRoom, dips, 3, "T-4", "White apple spirit for topping up."},
}

// twins are vessels filled on one day from one batch: a cask beside a jar with
// staves, and two woods beside each other.
var twins = [][]string{{"c20a", "j20"}, {"c30a", "c30b"}}

// The leak: which cask, and for how many days.
const (
	leaker   = "c50a"
	leakDays = 150
)

// firstCode keeps the demo's codes away from those that a new store begins with.
const firstCode = 4200

// house registers the vessels and gives each its own wood.
func (t *telling) house() error {
	for i, row := range append(append([]built(nil), casks...), others...) {
		v := &vessel{
			key: row.key, place: row.place, habit: row.habit, months: row.months, ago: firstDay + 1,
			Vessel: cellar.Vessel{
				Code: cellar.IssueCode(firstCode + uint64(i)), Kind: row.kind, CapacityL: spirit.Litres(row.litres),
				Wood: row.wood, WoodState: row.state, Place: row.place, Spot: t.nextSpot(row.place), MakerCode: row.maker, Note: row.note,
				WoodAreaM2: row.areaMeasured(), TareKg: row.tare(),
			},
		}
		if err := cellar.CheckVessel(&v.Vessel); err != nil {
			return err
		}
		v.build(t.lots)
		if row.key == leaker {
			v.leakFrom = leakDays
		}
		t.vessels = append(t.vessels, v)
		t.byKey[row.key] = v
	}
	return nil
}

// tiersHigh is how many vessels are stacked in a row.
const tiersHigh = 3

// nextSpot fills a place row by row, from the floor up; the tanks stand about.
func (t *telling) nextSpot(place string) cellar.Spot {
	if place == tunRoom {
		return cellar.Spot{}
	}
	n := t.stood[place]
	t.stood[place]++
	return cellar.Spot{Row: string(rune('A' + n/tiersHigh)), Tier: strconv.Itoa(1 + n%tiersHigh)}
}

// tare is the weight of the empty vessel, wood soaked, for those that are weighed.
func (b built) tare() spirit.Kilograms {
	if b.habit != weighs && b.habit != minds {
		return 0
	}
	heavy := map[cellar.VesselKind]float64{cellar.Cask: 1.28, cellar.Hybrid: 0.95, cellar.Jar: 0.8, cellar.Tank: 0.7}
	return spirit.Kilograms(rounded(heavy[b.kind]*math.Pow(b.litres, 2.0/3), 0.02))
}

// areaMeasured is the area of the staves in a jar or of a wooden head, where
// somebody measured it, m²; 0 elsewhere.
func (b built) areaMeasured() float64 {
	switch b.kind {
	case cellar.Jar:
		return rounded(0.011*b.litres, 0.001)
	case cellar.Hybrid:
		return rounded(0.09*math.Pow(b.litres/50, 2.0/3), 0.001)
	}
	return 0
}
