package demo

import (
	"fmt"
	"math"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

const blendTank = "t300"

// blend puts two casks and part of a third together, with the first water.
func (t *telling) blend() {
	tank := t.vessel(blendTank)
	request := cellar.Request{
		Entry: "blend", Vessel: tank.Code, WaterKg: number(22),
		Note: "Apple and rye. First water now, the rest when it has settled.",
	}
	tank.receive(liquid{0, 22 * (1 + t.bench.off(0.001))})
	for _, key := range []string{"c40", "c60"} {
		p := t.pumpOut(key)
		tank.receive(p.liquid)
		request.Draws = append(request.Draws, cellar.RequestDraw{From: t.vessel(key).Code, VolumeL: number(p.measured), All: true})
	}
	rye := t.vessel("c225b")
	t.gauge(rye, "Gauged before drawing for the blend.")
	const fromRye = 60.0
	tank.receive(t.give(rye, fromRye*(1+t.bench.off(0.003))))
	request.Draws = append(request.Draws, cellar.RequestDraw{From: rye.Code, VolumeL: number(fromRye)})
	tank.lastLook, tank.looks = t.ago, 0
	t.tell(request, keeper)
}

// reduce gauges the blend and adds the water that brings it to a strength.
func (t *telling) reduce(to float64) {
	tank := t.vessel(blendTank)
	litres, strength := t.gauge(tank, "Gauged before reducing.")
	if strength <= to {
		return
	}
	r, err := spirit.Reduce(spirit.Litres(litres), spirit.Strength(strength), spirit.Strength(to))
	if err != nil {
		t.fail("reducing: %w", err)
		return
	}
	water := max(0.1, rounded(float64(r.Water), 0.1))
	tank.receive(liquid{0, water * (1 + t.bench.off(0.001))})
	t.tell(cellar.Request{
		Entry: "reduce", Vessel: tank.Code, WaterKg: number(water), Note: fmt.Sprintf("Slowly, to %.1f %% vol.", to),
	}, keeper)
}

// bottle fills large bottles first and small ones with the rest.
func (t *telling) bottle() {
	tank := t.vessel(blendTank)
	litres, _ := t.gauge(tank, "Gauged before bottling.")
	const large, largeCount, small = 0.7, 140, 0.5
	inFilter := 0.012 * litres
	count := int(math.Floor((min(litres, tank.in.volume()) - inFilter - large*largeCount) / small))
	t.drain(tank)
	t.tell(cellar.Request{
		Entry: "bottle", Vessel: tank.Code, Lot: "Orchard and Rye, first",
		Bottles:  []cellar.Bottles{{SizeL: large, Count: largeCount}, {SizeL: small, Count: count}},
		LabelPct: number(46), All: true, Note: "Filtered cool through paper.",
	}, keeper)
}
