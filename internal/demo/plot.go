package demo

import (
	"fmt"

	"example.org/croze/internal/cellar"
)

// deed is something that is done on a day after the round.
type deed func(*telling)

// Days before today on which the turns of the story happen.
const (
	blendDay     = 840
	reduceDay    = 818
	trimDay      = 800
	bottleDay    = 792
	toTankDay    = 640
	mistypedDay  = 505
	lateDay      = 412
	intoTankDay  = 400
	spillDay     = 300
	emptyDay     = 200
	needNotedDay = 12
	needInDays   = 30 // after today
)

type portion struct {
	ago    int
	key    string
	litres float64
	note   string
}

var draws = []portion{
	{1460, "c225a", 6, "For the wedding at the mill."},
	{1210, "c225b", 10, "For the supper in the barn."},
	{900, "j5b", 0.4, "Bench bottle."},
	{790, "c110a", 3, ""},
	{520, "h60", 2, "Trial of reducing to 40, 43 and 46 % vol."},
	{430, "j20", 0.5, "Beside its twin, for the tasting."},
	{430, "c20a", 0.5, "Beside its twin, for the tasting."},
	{350, "c30c", 1.5, ""},
	{260, "c200", 5, "For the neighbours, who lent their press."},
	{90, "c55a", 2, ""},
	{75, "h25", 1, "Bench bottle."},
	{45, "c100", 2.5, ""},
}

// topUps all come from the tank of white apple spirit.
var topUps = []portion{
	{880, "c225a", 5, ""},
	{880, "c200", 4, ""},
	{600, "c225a", 4, ""},
	{590, "c200", 3, ""},
	{580, "c50b", 1.5, ""},
	{310, "c100", 5, "The head had dried out a little."},
}

const topUpTank = "t50"

type carrying struct {
	ago     int
	key, to string
	note    string
}

var carryings = []carrying{
	{700, "c10a", mossCellar, "It loses too much under the tiles."},
	{610, "c55b", rafterLoft, "To see what warmth does."},
	{500, "h100", mossCellar, "Room wanted in the barn."},
	{450, "j25", rafterLoft, ""},
}

// remarks are notes of the house's life.
var remarks = []carrying{
	{1005, "c225b", "", "Hoop slipped on the cellar side, driven back. No drip."},
	{655, "c100", "", "Cloudy for a week after it was rolled to the wall, then bright again."},
	{28, leaker, "", "Damp patch on the boards under it. Look again at the next round."},
}

// plot lists the deeds by days before today.
func (t *telling) plot() map[int][]deed {
	p := make(map[int][]deed)
	at := func(ago int, do deed) { p[ago] = append(p[ago], do) }
	for n := range runs {
		at(runs[n].ago-1, func(t *telling) { t.fill(n) })
	}
	for _, d := range draws {
		at(d.ago, func(t *telling) { t.draw(d) })
	}
	for _, u := range topUps {
		at(u.ago, func(t *telling) { t.topUp(u) })
	}
	for _, c := range carryings {
		at(c.ago, func(t *telling) { t.carry(c) })
	}
	for _, r := range remarks {
		at(r.ago, func(t *telling) {
			t.tell(cellar.Request{Entry: "note", Vessel: t.vessel(r.key).Code, Note: r.note}, keeper)
		})
	}
	at(blendDay, (*telling).blend)
	at(reduceDay, func(t *telling) { t.reduce(46.3) })
	at(trimDay, func(t *telling) { t.reduce(46) })
	at(bottleDay, (*telling).bottle)
	at(toTankDay, func(t *telling) { t.pumpAll("fill", "c20b", "t100") })
	at(intoTankDay, func(t *telling) { t.pumpAll("transfer", "c30d", "t100") })
	at(mistypedDay, func(t *telling) { t.mistype("h60") })
	at(lateDay, func(t *telling) { t.recordLate("h50", 9) })
	at(spillDay, func(t *telling) {
		t.spill(portion{spillDay, "t100", 1.2, "The hose came off the pump. Doors opened, floor flooded with water."})
	})
	at(emptyDay, func(t *telling) { t.emptyOut("j5c") })
	at(needNotedDay, (*telling).noteNeed)
	plotOwner(at)
	return p
}

// needFrom are the vessels set aside for next month's bottling, and need what is wanted.
var needFrom = []string{"c110a", "c55b", "c225b"}

func (t *telling) need() Need {
	n := Need{On: cellar.DayOf(t.today.AddDate(0, 0, needInDays)), VolumeL: 90, StrengthPct: 46}
	for _, key := range needFrom {
		n.From = append(n.From, t.vessel(key).Code)
	}
	n.Note = fmt.Sprintf("Set aside for the bottling on %s: %.0f L at %.0f %% vol wanted, rye with some oat. Plan it before then.",
		n.On, n.VolumeL, n.StrengthPct)
	return n
}

func (t *telling) noteNeed() {
	n := t.need()
	for _, code := range n.From {
		t.tell(cellar.Request{Entry: "note", Vessel: code, Note: n.Note}, keeper)
	}
}
