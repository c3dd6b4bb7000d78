package book

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// Making is a plan as it was carried out at the vat: everything in it was
// measured there. The three IDs make a form that is sent twice one making.
type Making struct {
	ID, GaugeID, RestID string
	Who                 string
	When                time.Time
	Plan                string // ID of the entry that keeps it
	Into                string
	Draws               []cellar.RequestDraw
	WaterWeighsKg       []float64 // each addition, as a balance in air showed it
	StrengthPct         *float64  // of the vat at the end; nil: not measured
	Raw                 bool      // that is what an alcoholometer showed at TempC, not yet corrected
	VolumeL             *float64  // of the vat at the end; nil: not measured
	TempC               *float64  // of the vat when its volume was measured
	RestUntil           cellar.Day
	Note                string
	Sure                bool
}

// Make records a making: the blend with what was measured and the plan that it
// was, the vat's gauge if there was one, and the day on which to bottle it. A
// fault in the gauge or the day leaves the blend recorded, and says so.
func (b *Book) Make(m Making) (cellar.Entry, error) {
	request, err := m.request()
	if err != nil {
		return cellar.Entry{}, err
	}
	blended, err := b.Record(Submission{ID: m.ID, Who: m.Who, Request: request, Sure: m.Sure})
	if err != nil {
		return blended, err
	}
	if m.StrengthPct != nil || m.VolumeL != nil {
		gauge := cellar.Request{
			When: m.When, Entry: "sample", Vessel: m.Into,
			StrengthPct: m.StrengthPct, VolumeL: m.VolumeL, TempC: m.TempC, Note: "Gauged in the vat.",
		}
		if m.Raw {
			gauge.StrengthPct, gauge.ReadingPct = nil, m.StrengthPct
		}
		if _, err := b.Record(Submission{ID: m.GaugeID, Who: m.Who, Request: gauge, Sure: m.Sure}); err != nil {
			return blended, fmt.Errorf("the blend is recorded, and what the vat was gauged at is not: %w", err)
		}
	}
	if m.RestUntil == 0 {
		return blended, nil
	}
	rest := cellar.Request{When: m.When, Entry: "aim", Vessel: m.Into, On: m.RestUntil, For: cellar.AimBottle, Note: "It has rested: filter and bottle."}
	if _, err := b.Record(Submission{ID: m.RestID, Who: m.Who, Request: rest, Sure: m.Sure}); err != nil {
		return blended, fmt.Errorf("the blend is recorded, and the day of bottling is not: %w", err)
	}
	return blended, nil
}

// request is the blend of a making. Every draw has to say what was measured.
func (m *Making) request() (cellar.Request, error) {
	r := cellar.Request{When: m.When, Entry: "blend", Vessel: m.Into, Plan: m.Plan, Draws: m.Draws, Note: m.Note}
	for _, d := range m.Draws {
		if d.VolumeL == nil && d.WeighsKg == nil {
			return r, &cellar.Problem{
				Kind: cellar.Invalid, Field: "volume_l", Value: d.From,
				Reason: "write what was really drawn, by weight or by volume; 0 for a vessel that was left alone",
			}
		}
	}
	r.Draws = slices.DeleteFunc(slices.Clone(m.Draws), nothingDrawn)
	if len(r.Draws) == 0 {
		return r, &cellar.Problem{Kind: cellar.Invalid, Field: "volume_l", Reason: "nothing was drawn: write what was"}
	}
	shown := 0.0
	for _, kg := range m.WaterWeighsKg {
		if kg < 0 {
			return r, &cellar.Problem{Kind: cellar.Invalid, Field: "water_kg", Value: fmt.Sprint(kg), Reason: "must not be below 0"}
		}
		shown += kg
	}
	if shown == 0 {
		return r, nil
	}
	water, err := waterMass(shown)
	r.WaterKg = &water
	return r, err
}

func nothingDrawn(d cellar.RequestDraw) bool {
	return (d.VolumeL == nil || *d.VolumeL == 0) && (d.WeighsKg == nil || *d.WeighsKg == 0)
}

// waterMass is the mass in kg of water at 20 °C that a balance in air shows as so much.
func waterMass(shown float64) (float64, error) {
	d, err := spirit.DensityOf(0, spirit.Reference)
	if err != nil {
		return 0, err
	}
	m, err := spirit.MassOfWeighed(spirit.Kilograms(shown), d)
	return float64(m), err
}

// WorkSheet lays a kept plan out as work at the vat. A vessel whose temperature
// is not given has that of its place, where one is registered; the rest have
// c.OtherC.
func (v *View) WorkSheet(line PlanLine, c blend.Conditions) (blend.Sheet, error) {
	wish := blend.Plan{Kind: blend.KindBlend}
	var draws []blend.Draw
	given := c.VesselC
	c.VesselC = v.PlaceTemperatures()
	for code, t := range given {
		c.VesselC[code] = t
	}
	for _, d := range line.Draws {
		wish.Sources = append(wish.Sources, blend.Source{ID: d.Vessel, AvailableL: d.VolumeL, StrengthPct: d.StrengthPct})
		draws = append(draws, blend.Draw{ID: d.Vessel, VolumeL: d.VolumeL})
	}
	return blend.WorkSheet(wish, draws, line.WaterKg, c)
}

// PlaceTemperatures gives the temperature of the place in which each vessel
// stands, for those whose place has one registered.
func (v *View) PlaceTemperatures() map[string]float64 {
	found := make(map[string]float64)
	for code, vessel := range v.State.Vessels {
		if t := v.State.Places[vessel.PlacedAt].TempC; t != nil {
			found[code] = *t
		}
	}
	return found
}

// VatGauge is what was measured in the vat before it is trimmed.
type VatGauge struct {
	StrengthPct float64
	Raw         bool     // that is what an alcoholometer showed at TempC, not yet corrected
	VolumeL     *float64 // nil: what the plan comes to
	TempC       *float64 // of the vat; nil: 20 °C
	From        string   // vessel to trim with; "": water
	ToVolume    bool     // make the volume up as well
}

// Trim works out what brings a gauged vat to the strength of its plan.
func (v *View) Trim(line PlanLine, g VatGauge) (blend.Trim, error) {
	gauged, err := g.at20(line.VolumeL)
	if err != nil {
		return blend.Trim{}, badTrim(err)
	}
	if g.From == "" {
		t, err := blend.TrimWithWater(gauged, line.StrengthPct)
		return t, badTrim(err)
	}
	vessel, ok := v.State.FindVessel(g.From)
	if !ok || v.State.IsEmpty(vessel.Code) {
		return blend.Trim{}, &cellar.Problem{Kind: cellar.NotFound, Field: "trim_from", Value: g.From, Reason: "no vessel of this code holds anything"}
	}
	from := v.Source(vessel.Code)
	if g.ToVolume {
		t, err := blend.TrimToVolume(gauged, blend.Target{VolumeL: line.VolumeL, StrengthPct: line.StrengthPct}, from)
		return t, badTrim(err)
	}
	t, err := blend.TrimWithVessel(gauged, line.StrengthPct, from)
	return t, badTrim(err)
}

// at20 brings a gauge to 20 °C; planned is the volume where none was measured.
func (g VatGauge) at20(planned float64) (blend.Gauged, error) {
	gauged := blend.Gauged{VolumeL: planned, StrengthPct: g.StrengthPct}
	at := spirit.Reference
	if g.TempC != nil {
		at = spirit.Celsius(*g.TempC)
	}
	if g.Raw {
		if g.TempC == nil {
			return gauged, errors.New("a raw reading needs the temperature of the vat")
		}
		glass := spirit.Hydrometer{Scale: spirit.ScaleStrength, Base: spirit.Reference}
		q, _, err := glass.Strength(glass.Observed(g.StrengthPct, at))
		if err != nil {
			return gauged, err
		}
		gauged.StrengthPct = float64(q)
	}
	if g.VolumeL == nil {
		return gauged, nil
	}
	v, err := spirit.VolumeFrom(spirit.Litres(*g.VolumeL), spirit.Strength(gauged.StrengthPct), at, spirit.Reference)
	gauged.VolumeL = float64(v)
	return gauged, err
}

// badTrim makes a trim that cannot be an answer to the person who asked for it.
func badTrim(err error) error {
	if err == nil {
		return nil
	}
	return &cellar.Problem{Kind: cellar.Refused, Reason: err.Error()}
}
