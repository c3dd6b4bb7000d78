package cellar

import (
	"time"

	"example.org/croze/internal/gauge"
	"example.org/croze/internal/spirit"
)

// temperature returns the liquid's temperature if it was given.
func (w *resolution) temperature() *spirit.Celsius {
	if w.TempC == nil {
		return nil
	}
	t := spirit.Celsius(*w.TempC)
	return &t
}

// orReference is the temperature of a volume without one.
func orReference(t *spirit.Celsius) spirit.Celsius {
	if t == nil {
		return spirit.Reference
	}
	return *t
}

// reading works out the strength that the request states, if it states one.
func (w *resolution) reading() (*Reading, error) {
	switch {
	case w.StrengthPct != nil && w.ReadingPct != nil:
		return nil, invalid("reading_pct", trimmed(*w.ReadingPct), "give strength_pct or reading_pct, not both")
	case w.StrengthPct != nil:
		q := spirit.Strength(*w.StrengthPct)
		return &Reading{Value: *w.StrengthPct, Scale: "corrected", TempC: w.temperature(), StrengthPct: q}, nil
	case w.ReadingPct != nil:
		return w.corrected()
	}
	return nil, nil
}

// corrected brings a raw reading to % vol at 20 °C: first what the
// certificates of hydrometer and thermometer add, then temperature and glass,
// then dissolved solids.
func (w *resolution) corrected() (*Reading, error) {
	if w.TempC == nil {
		return nil, invalid("temp_c", nil, "a raw reading needs the temperature of the liquid")
	}
	how, err := w.howRead()
	if err != nil {
		return nil, err
	}
	observed := how.stem.Observed(*w.ReadingPct+how.hydrometer.Add, spirit.Celsius(*w.TempC+how.thermometer.Add))
	if how.certified {
		observed.ReadingSD = how.hydrometer.SD
	}
	if how.thermometer.SD > 0 {
		observed.AtSD = spirit.Celsius(how.thermometer.SD)
	}
	q, sd, err := how.stem.Strength(observed)
	if err != nil {
		return nil, invalid("reading_pct", trimmed(*w.ReadingPct), "%v", err)
	}
	r := &Reading{
		Value: *w.ReadingPct, Scale: how.scale, TempC: w.temperature(), GlassC: how.stem.Base,
		Instrument: w.Instrument, Added: how.hydrometer.Add, Certified: how.certified,
		StrengthPct: q, StrengthSD: sd, Correction: how.words(),
	}
	return r, w.allowForSolids(r)
}

// allowForSolids adds what dissolved solids hide, where a residue is given.
func (w *resolution) allowForSolids(r *Reading) (err error) {
	if w.Residue == nil {
		return nil
	}
	r.Residue = spirit.Residue(*w.Residue)
	if r.StrengthPct, err = spirit.CorrectForResidue(r.StrengthPct, r.Residue); err != nil {
		return invalid("residue", trimmed(*w.Residue), "%v", err)
	}
	r.Correction += ", and 0.4 proof for each 0.1 g/100 mL of solids"
	return nil
}

func scaleName(s string) string {
	if s == "" {
		return "vol"
	}
	return s
}

// moved works out a measure of `volume` litres at the request's temperature,
// of spirit from an account.
func (w *resolution) moved(field string, volume float64, from Account) (Measure, error) {
	r, err := w.reading()
	if err != nil {
		return Measure{}, err
	}
	m := Measure{VolumeL: spirit.Litres(volume), TempC: w.temperature(), Reading: r, Basis: Measured}
	if r != nil {
		m.StrengthPct = r.StrengthPct
	} else if m.StrengthPct, m.Basis, err = w.strengthOf(from); err != nil {
		return Measure{}, err
	}
	m.Amount, err = spirit.AmountAt(m.VolumeL, orReference(m.TempC), m.StrengthPct)
	if err != nil {
		return Measure{}, invalid(field, trimmed(volume), "%v", err)
	}
	return m, nil
}

// weighedIn works out a measure from the gross weight of the vessel that was filled.
func (w *resolution) weighedIn(from Account) (Measure, error) {
	if w.vessel.TareKg == 0 {
		return Measure{}, invalid("gross_kg", trimmed(*w.GrossKg), "vessel %s has no tare_kg: register its weight when empty first", w.vessel.Code)
	}
	r, err := w.reading()
	if err != nil {
		return Measure{}, err
	}
	m := Measure{NetKg: spirit.Kilograms(*w.GrossKg) - w.vessel.TareKg, TempC: w.temperature(), Reading: r, Basis: Measured}
	if r != nil {
		m.StrengthPct = r.StrengthPct
	} else if m.StrengthPct, m.Basis, err = w.strengthOf(from); err != nil {
		return Measure{}, err
	}
	found, err := gauge.ByWeight(spirit.Kilograms(*w.GrossKg), w.vessel.TareKg, m.StrengthPct)
	if err != nil {
		return Measure{}, invalid("gross_kg", trimmed(*w.GrossKg), "%v", err)
	}
	m.Amount = found.Amount
	return m, nil
}

// strengthOf is the strength to take where none was measured.
func (w *resolution) strengthOf(from Account) (spirit.Strength, Basis, error) {
	if code, ok := from.Vessel(); ok {
		if a, ok := w.estimate(code); ok {
			return a.Strength(), Computed, nil
		}
		return w.State.StrengthNow(code), Carried, nil
	}
	if name, ok := from.Batch(); ok {
		if a := w.State.Balance(from); !a.IsZero() {
			return a.Strength(), Carried, nil
		}
		if b := w.State.Batches[name]; b != nil && b.StrengthPct > 0 {
			return b.StrengthPct, Carried, nil
		}
	}
	return 0, "", invalid("strength_pct", nil, "say how strong it is")
}

func (w *resolution) estimate(code string) (spirit.Amount, bool) {
	if w.Estimate == nil {
		return spirit.Amount{}, false
	}
	return w.Estimate(code, w.When)
}

// StrengthNow returns the last strength known of what a vessel holds: the last
// reading of this filling, unless something was added since, then the books'.
func (s *State) StrengthNow(code string) spirit.Strength {
	v, ok := s.Vessels[code]
	if !ok {
		return 0
	}
	for i := len(v.Events) - 1; i >= 0; i-- {
		e := v.Events[i]
		if !e.In.IsZero() {
			break
		}
		if e.Reading != nil {
			return e.Reading.StrengthPct
		}
	}
	return s.Balance(VesselAccount(code)).Strength()
}

// LikelyNow is what a vessel is likely to hold where no estimator is at hand:
// the book content less the usual loss since it was last gauged. The usual
// loss, 2 % a year of a 200 L cask and more of a smaller one, is common
// practice.
func (s *State) LikelyNow(code string, at time.Time) spirit.Amount {
	h := s.held(VesselAccount(code))
	days := float64(max(0, DayOf(at)-h.gauged))
	v, ok := s.Vessels[code]
	if !ok || v.Kind == Tank {
		return h.Amount
	}
	return h.Amount.Scale(1 - min(0.5, usualLossPerYear(v.Vessel)*days/365))
}
