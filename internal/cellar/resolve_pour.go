package cellar

import (
	"fmt"
	"time"

	"example.org/croze/internal/spirit"
)

func (w *resolution) fill() (Fact, error) {
	p, err := w.pour()
	return &Fill{p}, err
}

func (w *resolution) topUp() (Fact, error) {
	p, err := w.pourMore()
	return &TopUp{p}, err
}

func (w *resolution) transfer() (Fact, error) {
	p, err := w.pourMore()
	return &Transfer{p}, err
}

func (w *resolution) pourMore() (Pour, error) {
	if err := w.needFilled(); err != nil {
		return Pour{}, err
	}
	if w.From == "" {
		return Pour{}, invalid("from", nil, "say which batch or vessel it comes from")
	}
	if w.GrossKg != nil {
		return Pour{}, invalid("gross_kg", trimmed(*w.GrossKg), "the vessel was not empty, so its weight does not say how much was added: give volume_l")
	}
	p, err := w.pour()
	if err == nil {
		w.questionRoom(p.Measure.Amount.Volume())
	}
	return p, err
}

func (w *resolution) pour() (Pour, error) {
	if err := w.needVessel(); err != nil {
		return Pour{}, err
	}
	from := BatchAccount(unnamedBatch(w.vessel.Code, DayOf(w.When)))
	if w.From != "" {
		var err error
		if from, err = w.source(w.From); err != nil {
			return Pour{}, err
		}
	}
	measure, all, err := w.poured(from)
	if err != nil {
		return Pour{}, err
	}
	w.questionStrength(measure.StrengthPct, from)
	return Pour{Vessel: w.vessel.Code, From: from, Measure: measure, Empties: all || w.All, Note: w.Note}, nil
}

// poured works out how much goes in. All of a vessel goes where nothing is said.
func (w *resolution) poured(from Account) (m Measure, all bool, err error) {
	switch {
	case w.VolumeL != nil && w.GrossKg != nil:
		return m, false, invalid("gross_kg", trimmed(*w.GrossKg), "give volume_l or gross_kg, not both")
	case w.VolumeL != nil:
		m, err = w.moved("volume_l", *w.VolumeL, from)
		return m, false, err
	case w.GrossKg != nil:
		m, err = w.weighedIn(from)
		return m, false, err
	}
	code, ok := from.Vessel()
	if !ok {
		return m, false, invalid("volume_l", nil, "say how much: volume_l, or gross_kg of a vessel with a tare")
	}
	m, err = w.everything(code)
	return m, true, err
}

// everything is all that a vessel is thought to hold. An estimate may be above
// the books, but no more can leave than they have.
func (w *resolution) everything(code string) (Measure, error) {
	if w.State.IsEmpty(code) {
		return Measure{}, refused("from", code, "it is empty on %s", DayOf(w.When))
	}
	held, ok := w.estimate(code)
	if !ok {
		held = w.State.LikelyNow(code, w.When)
	}
	book := w.State.Balance(VesselAccount(code))
	held.EthanolMg = min(held.EthanolMg, book.EthanolMg)
	if over := float64(held.Volume() / book.Volume()); over > 1 {
		held = held.Scale(1 / over)
	}
	return Measure{Amount: held, VolumeL: held.Volume(), StrengthPct: held.Strength(), Basis: Computed}, nil
}

func (w *resolution) reduce() (Fact, error) {
	if err := w.needFilled(); err != nil {
		return nil, err
	}
	water, err := w.water()
	if err != nil {
		return nil, err
	}
	if water.IsZero() {
		return nil, invalid("water_kg", nil, "say how much water, by weight or by volume")
	}
	return &Reduce{Vessel: w.vessel.Code, Water: water, Note: w.Note}, nil
}

// water is what was added, by weight or else by volume at the temperature given.
func (w *resolution) water() (spirit.Amount, error) {
	if w.WaterKg != nil {
		return spirit.Water(spirit.Kilograms(*w.WaterKg))
	}
	if w.VolumeL != nil {
		return spirit.AmountAt(spirit.Litres(*w.VolumeL), orReference(w.temperature()), 0)
	}
	return spirit.Amount{}, nil
}

func (w *resolution) blend() (Fact, error) {
	if err := w.needVessel(); err != nil {
		return nil, err
	}
	if len(w.Draws) == 0 || len(w.Draws) > MostDraws {
		return nil, invalid("draws", len(w.Draws), "a blend draws from 1 to %d vessels", MostDraws)
	}
	water, err := w.water()
	if err != nil {
		return nil, err
	}
	if _, kept := w.State.FindPlan(w.Plan); w.Plan != "" && !kept {
		return nil, notFound("plan", w.Plan, "no such plan is kept: it may have been taken back")
	}
	blend := &Blend{Into: w.vessel.Code, Water: water, Plan: w.Plan, Note: w.Note}
	for i, d := range w.Draws {
		draw, err := w.blendDraw(d)
		if err != nil {
			return nil, fmt.Errorf("draws[%d]: %w", i, err)
		}
		blend.Draws = append(blend.Draws, draw)
	}
	return blend, nil
}

func (w *resolution) blendDraw(d RequestDraw) (BlendDraw, error) {
	from, err := w.source(d.From)
	if err != nil {
		return BlendDraw{}, err
	}
	one := &resolution{Resolver: w.Resolver, vessel: w.vessel, Request: Request{
		When: w.When, VolumeL: d.VolumeL, TempC: d.TempC, StrengthPct: d.StrengthPct,
	}}
	if err := one.checkNumbers(); err != nil {
		return BlendDraw{}, err
	}
	if d.WeighsKg != nil {
		measure, err := one.weighedDraw(from, d)
		return BlendDraw{From: from, Measure: measure, Empties: d.All}, err
	}
	measure, all, err := one.poured(from)
	return BlendDraw{From: from, Measure: measure, Empties: all || d.All}, err
}

// Carried works out left-overs that go into a run.
func (r Resolver) Carried(when time.Time, leftovers []RequestDraw) ([]Carry, error) {
	w := &resolution{Resolver: r, Request: Request{When: when}}
	var carried []Carry
	for i, d := range leftovers {
		draw, err := w.blendDraw(d)
		if err != nil {
			return nil, fmt.Errorf("left-overs %d: %w", i+1, err)
		}
		carried = append(carried, Carry{From: draw.From, Amount: draw.Measure.Amount, Empties: draw.Empties})
	}
	return carried, nil
}
