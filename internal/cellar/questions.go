package cellar

import (
	"fmt"
	"math"

	"example.org/croze/internal/spirit"
)

// How far from what is expected a value may be before a person is asked.
const (
	strengthRise   spirit.Strength = 2  // above the strongest that went in, % vol
	scaleSlipFar   float64         = 15 // a reading so far off …
	scaleSlipClose float64         = 5  // … is a slip of the scale if the other scale comes so near
	// A temperature in °F taken as °C makes a spirit weaker by several % vol.
	fahrenheitSlipFar   float64 = 3
	fahrenheitSlipClose float64 = 1.5

	foundMore spirit.Litres = 1.02 // times the book content
	foundLess spirit.Litres = 0.7  // times the likely content
)

func (w *resolution) ask(field, code, format string, args ...any) {
	w.questions = append(w.questions, Question{field, code, fmt.Sprintf(format, args...)})
}

// strongestIn is the strongest spirit that went into this filling of a vessel.
func strongestIn(v *VesselState) spirit.Strength {
	var most spirit.Strength
	for i := len(v.Events) - 1; i >= 0; i-- {
		e := v.Events[i]
		if !e.In.IsZero() {
			most = max(most, e.In.Strength())
		}
		if e.Filled {
			break
		}
	}
	return most
}

// questionStrength asks about spirit stronger than what it came from.
func (w *resolution) questionStrength(q spirit.Strength, from Account) {
	var most spirit.Strength
	switch name, isBatch := from.Batch(); {
	case isBatch:
		if b := w.State.Batches[name]; b != nil {
			most = b.StrengthPct
		}
	case from == "":
		most = strongestIn(w.vessel)
	}
	if most > 0 && q > most+strengthRise {
		w.ask("strength_pct", "stronger_than_filled", "%.1f %% vol is stronger than what went in (%.1f %% vol): is it right?", float64(q), float64(most))
	}
}

// questionScale asks about a reading that would be likely on another scale.
func (w *resolution) questionScale(r *Reading) {
	expected := float64(w.State.StrengthNow(w.vessel.Code))
	got := float64(r.StrengthPct)
	if w.likelierInFahrenheit(r, expected) {
		w.ask("temp_c", "fahrenheit_as_celsius", "%.1f °C gives %.1f %% vol, far from the last %.1f: is it °F?", float64(*r.TempC), got, expected)
		return
	}
	if math.Abs(got-expected) < scaleSlipFar {
		return
	}
	if math.Abs(got/2-expected) < scaleSlipClose {
		w.ask("strength_pct", "proof_as_percent", "%.1f %% vol is far from the last %.1f: is it US proof?", got, expected)
		return
	}
	w.ask("strength_pct", "far_from_last", "%.1f %% vol is far from the last %.1f: is it right?", got, expected)
}

// likelierInFahrenheit says whether a raw reading is off by more than samples
// are, and would be right if its temperature were in °F.
func (w *resolution) likelierInFahrenheit(r *Reading, expected float64) bool {
	if r.Scale == "corrected" || r.TempC == nil || math.Abs(float64(r.StrengthPct)-expected) < fahrenheitSlipFar {
		return false
	}
	how, err := w.howRead()
	if err != nil {
		return false
	}
	p, err := how.stem.True(r.Value+r.Added, spirit.Fahrenheit(*r.TempC).Celsius())
	if err != nil {
		return false
	}
	q, err := p.Strength()
	return err == nil && math.Abs(float64(q)-expected) < fahrenheitSlipClose
}

// questionContent asks about finding more than the books have, or far less
// than is likely.
func (w *resolution) questionContent(c *Content) {
	if c == nil {
		return
	}
	book := w.State.Balance(VesselAccount(w.vessel.Code)).Volume()
	likely := w.State.LikelyNow(w.vessel.Code, w.When).Volume()
	switch {
	case c.VolumeL > book*foundMore:
		w.ask("volume_l", "more_than_books", "%.1f L is more than the books have (%.1f L): is it right?", float64(c.VolumeL), float64(book))
	case c.VolumeL < likely*foundLess:
		w.ask("volume_l", "far_less", "%.1f L is far less than is likely (%.1f L): is it right?", float64(c.VolumeL), float64(likely))
	}
}

// questionRoom asks about more than is likely to fit: the fold refuses only
// what cannot fit whatever was lost.
func (w *resolution) questionRoom(more spirit.Litres) {
	held, ok := w.estimate(w.vessel.Code)
	if !ok {
		held = w.State.LikelyNow(w.vessel.Code, w.When)
	}
	room := max(0, w.vessel.CapacityL-held.Volume())
	if more > room+w.vessel.CapacityL*OverfillFraction {
		w.ask("volume_l", "more_than_fits", "%.2f L is more than is likely to fit (%.2f L): is it right?", float64(more), float64(room))
	}
}
