package book

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/cellar"
)

// PlanLine is a plan that was kept, and what became of it.
type PlanLine struct {
	cellar.Planned
	MadeBy *cellar.Entry // the blend that it became; nil: it waits
	Into   string        // the vessel of that
}

// Waiting says whether it is still to be made.
func (l PlanLine) Waiting() bool { return l.MadeBy == nil }

// Plans lists the plans that are kept: those that wait first, soonest wanted
// first, then those made, latest first.
func (v *View) Plans() []PlanLine {
	made := v.blendsByPlan()
	lines := make([]PlanLine, 0, len(v.State.Plans))
	for _, p := range v.State.Plans {
		line := PlanLine{Planned: p}
		if e, ok := made[p.Entry.ID]; ok {
			line.MadeBy, line.Into = &e, e.Fact.(*cellar.Blend).Into
		}
		lines = append(lines, line)
	}
	slices.SortStableFunc(lines, comparePlans)
	return lines
}

func comparePlans(a, b PlanLine) int {
	switch {
	case a.Waiting() != b.Waiting():
		if a.Waiting() {
			return -1
		}
		return 1
	case !a.Waiting():
		return b.MadeBy.HappenedAt.Compare(a.MadeBy.HappenedAt)
	case (a.Wanted == 0) != (b.Wanted == 0):
		return cmp.Compare(b.Wanted, a.Wanted) // a day before none
	}
	return cmp.Compare(a.Wanted, b.Wanted)
}

// PlansWaiting lists the plans that are still to be made.
func (v *View) PlansWaiting() []PlanLine {
	lines := v.Plans()
	return slices.DeleteFunc(lines, func(l PlanLine) bool { return !l.Waiting() })
}

// FindPlan finds a plan by the ID of its entry.
func (v *View) FindPlan(id string) (PlanLine, error) {
	for _, line := range v.Plans() {
		if line.Entry.ID == id {
			return line, nil
		}
	}
	return PlanLine{}, &cellar.Problem{Kind: cellar.NotFound, Field: "plan", Value: id, Reason: "no such plan is kept: it may have been taken back"}
}

// blendsByPlan finds the blend that each plan became; of several, the first.
func (v *View) blendsByPlan() map[string]cellar.Entry {
	return remember(v, "", "blends by plan", func() map[string]cellar.Entry {
		made := make(map[string]cellar.Entry)
		if len(v.State.Plans) == 0 {
			return made // of a very large store the search takes a while
		}
		for _, code := range v.State.VesselCodes() {
			for _, e := range v.State.Vessels[code].Events {
				f, ok := e.Entry.Fact.(*cellar.Blend)
				if !ok || f.Plan == "" || f.Into != code {
					continue
				}
				if _, known := made[f.Plan]; !known {
					made[f.Plan] = e.Entry
				}
			}
		}
		return made
	})
}

// KeepPlan keeps a plan. Sending the same ID again gives the one that was kept.
func (b *Book) KeepPlan(id, who string, f *cellar.Plan) (cellar.Entry, error) {
	if err := cellar.CheckPlan(f); err != nil {
		return cellar.Entry{}, err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if old, repeated, err := b.repeated(id, f.Kind()); repeated || err != nil {
		return old, err
	}
	if today := cellar.DayOf(b.edge.Now()); f.Wanted != 0 && f.Wanted < today {
		return cellar.Entry{}, &cellar.Problem{Kind: cellar.Invalid, Field: "wanted", Value: f.Wanted.String(), Reason: "lies in the past: choose a day to come, or none"}
	}
	for i := range f.Draws {
		d := &f.Draws[i]
		if v, known := b.state.FindVessel(d.Vessel); known {
			d.Vessel = v.Code
		}
	}
	return b.post(id, who, b.recordingTime(), f)
}

// Kept makes the draws and the water of one bottling into a plan to keep.
func Kept(wish blend.Plan, draws []blend.Draw, waterKg float64, made blend.Made) *cellar.Plan {
	strength := make(map[string]float64)
	for i := range wish.Sources {
		strength[wish.Sources[i].ID] = wish.Sources[i].StrengthPct
	}
	f := &cellar.Plan{WaterKg: waterKg, VolumeL: tidied(made.VolumeL), StrengthPct: tidied(made.StrengthPct)}
	for _, d := range draws {
		f.Draws = append(f.Draws, cellar.PlanDraw{Vessel: d.ID, VolumeL: d.VolumeL, StrengthPct: strength[d.ID]})
	}
	return f
}

// tidied drops digits that stand for nothing: far below a millilitre, or a
// millionth of a % vol.
func tidied(x float64) float64 { return math.Round(x*1e6) / 1e6 }

// SetCosts says what a litre in each of some vessels cost. Those that are so
// already are left alone, so that a form sent twice changes nothing.
func (b *Book) SetCosts(who string, perL map[string]float64) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, written := range slices.Sorted(maps.Keys(perL)) {
		vessel, ok := b.state.FindVessel(written)
		if !ok {
			return &cellar.Problem{Kind: cellar.NotFound, Field: "vessel", Value: written, Reason: "no such vessel is registered"}
		}
		f := &cellar.Cost{Vessel: vessel.Code, PerL: perL[written]}
		if known, said := b.state.CostOf(f.Vessel); said && known == f.PerL {
			continue
		}
		if err := cellar.CheckCost(f); err != nil {
			return fmt.Errorf("%s: %w", f.Vessel, err)
		}
		if _, err := b.post("", who, b.recordingTime(), f); err != nil {
			return err
		}
	}
	return nil
}
