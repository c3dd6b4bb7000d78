package demo

import (
	"math"
	"time"

	"example.org/croze/internal/cellar"
)

func (t *telling) draw(p portion) {
	v := t.vessel(p.key)
	t.give(v, p.litres*(1+t.bench.off(0.004)))
	t.tell(cellar.Request{Entry: "draw", Vessel: v.Code, DrawnL: number(p.litres), Note: p.note}, keeper)
}

func (t *telling) spill(p portion) {
	v := t.vessel(p.key)
	t.give(v, p.litres*(1+t.bench.off(0.08))) // a puddle is measured badly
	t.tell(cellar.Request{Entry: "spill", Vessel: v.Code, DrawnL: number(p.litres), Note: p.note}, keeper)
}

func (t *telling) topUp(p portion) {
	v, tank := t.vessel(p.key), t.vessel(topUpTank)
	v.receive(t.give(tank, p.litres*(1+t.bench.off(0.003))))
	t.tell(cellar.Request{Entry: "top_up", Vessel: v.Code, From: tank.Code, VolumeL: number(p.litres), Note: p.note}, keeper)
}

func (t *telling) carry(c carrying) {
	v := t.vessel(c.key)
	v.place = c.to
	spot := t.nextSpot(c.to)
	t.tell(cellar.Request{Entry: "move", Vessel: v.Code, Place: c.to, Row: spot.Row, Tier: spot.Tier, Note: c.note}, keeper)
}

// pour is a whole vessel on its way, truly and as measured.
type pour struct {
	liquid
	measured float64 // litres at 20 °C
}

// pumpOut gauges a vessel and empties it. What the meter shows is held to what
// the gauge found: a house that measures twice writes down what can be.
func (t *telling) pumpOut(key string) pour {
	v := t.vessel(key)
	found, _ := t.gauge(v, "Gauged before pumping.")
	out := t.drain(v)
	return pour{out, min(t.bench.measure(out.volume()), math.Floor(found*99.8)/100)}
}

// pumpAll pumps everything from one vessel into another.
func (t *telling) pumpAll(entry, from, to string) {
	p := t.pumpOut(from)
	v := t.vessel(to)
	v.receive(p.liquid)
	v.lastLook, v.looks = t.ago, older // it comes out of wood
	t.tell(cellar.Request{
		Entry: entry, Vessel: v.Code, From: t.vessel(from).Code, VolumeL: number(p.measured), All: true,
		Note: "Out of wood, to wait for a bottling.",
	}, keeper)
}

func (t *telling) emptyOut(key string) {
	p := t.pumpOut(key)
	t.tell(cellar.Request{
		Entry: "empty", Vessel: t.vessel(key).Code, VolumeL: number(p.measured), Note: "The last of it, for the bench.",
	}, keeper)
}

// mistype tells a sample with two digits swapped, takes it back two days
// later, and tells it right.
func (t *telling) mistype(key string) {
	v := t.vessel(key)
	right := t.look(v)
	wrong := right
	wrong.StrengthPct = number(digitsSwapped(*right.StrengthPct))
	slip := t.tell(wrong, apprentice)
	right.When = t.told[slip].Request.When
	right.Note = "Typed wrong the first time: digits swapped."
	seen := right.When.AddDate(0, 0, 2).Add(3 * time.Hour)
	t.write(Told{
		Request:    cellar.Request{When: seen, Entry: "void", Note: "Two digits of the strength were swapped."},
		RecordedAt: seen, Who: keeper, VoidOf: slip,
	})
	t.write(Told{Request: right, RecordedAt: seen.Add(2 * time.Minute), Who: keeper, VoidOf: -1})
}

// digitsSwapped swaps the tens and the ones: 61.5 becomes 16.5.
func digitsSwapped(x float64) float64 {
	tenths := int(math.Round(10 * x))
	tens, ones, rest := tenths/100, tenths/10%10, tenths%10
	return float64(100*ones+10*tens+rest) / 10
}

// recordLate tells a sample that stayed in a notebook for some days.
func (t *telling) recordLate(key string, days int) {
	s := t.look(t.vessel(key))
	s.Note = "Found in the notebook."
	i := t.tell(s, keeper)
	t.told[i].RecordedAt = t.told[i].Request.When.AddDate(0, 0, days).Add(95 * time.Minute)
}
