package cellar

import (
	"math"
	"strings"
	"testing"

	"example.org/croze/internal/spirit"
)

func asked(questions []Question, code string) bool {
	for _, q := range questions {
		if q.Code == code && q.Field != "" && q.Text != "" {
			return true
		}
	}
	return false
}

// A raw reading is what the hydrometer of package spirit says it is.
func TestReadingsAreCorrected(t *testing.T) {
	s := filledCask(t)
	for _, c := range []struct {
		r    Request
		with spirit.Hydrometer
	}{
		{Request{ReadingPct: ptr(61.0), TempC: ptr(12.0)}, spirit.Hydrometer{Scale: spirit.ScaleStrength, Base: 20}},
		{Request{ReadingPct: ptr(61.0), TempC: ptr(12.0), GlassC: ptr(15.56)}, spirit.Hydrometer{Scale: spirit.ScaleStrength, Base: 15.56}},
		{Request{ReadingPct: ptr(121.0), TempC: ptr(28.0), Scale: "proof"}, spirit.Hydrometer{Scale: spirit.ScaleProof, Base: spirit.ProofBase}},
		{Request{ReadingPct: ptr(908.0), TempC: ptr(18.0), Scale: "density"}, spirit.Hydrometer{Scale: spirit.ScaleDensity, Base: 20}},
		{Request{ReadingPct: ptr(0.91), TempC: ptr(18.0), Scale: "sg"}, spirit.Hydrometer{Scale: spirit.ScaleGravity, Base: 20}},
	} {
		c.r.Entry, c.r.Vessel = "sample", "A"
		f, _, err := s.resolve(c.r)
		if err != nil {
			t.Errorf("%+v: %v", c.r, err)
			continue
		}
		p, err := c.with.True(*c.r.ReadingPct, spirit.Celsius(*c.r.TempC))
		if err != nil {
			t.Fatal(err)
		}
		want, err := p.Strength()
		if err != nil {
			t.Fatal(err)
		}
		got := f.(*Sample).Reading
		near(t, got.Scale, float64(got.StrengthPct), float64(want), 1e-9)
		if got.Value != *c.r.ReadingPct || float64(*got.TempC) != *c.r.TempC || got.GlassC != c.with.Base || got.Correction == "" {
			t.Errorf("the reading as read is not kept: %+v", got)
		}
	}
	base := Request{Entry: "sample", Vessel: "A", ReadingPct: ptr(61.0)}
	s.refusesRequest(base, "temp_c", "temperature")
	for field, change := range map[string]func(*Request){
		"scale":       func(r *Request) { r.Scale = "plato" },
		"glass_c":     func(r *Request) { r.GlassC = ptr(60.0) },
		"as a rule":   func(r *Request) { r.GlassC = ptr(math.NaN()) },
		"residue":     func(r *Request) { r.Residue = ptr(3.0) },
		"reading_pct": func(r *Request) { r.ReadingPct = ptr(112.0) },
		"NaN":         func(r *Request) { r.ReadingPct = ptr(math.NaN()) },
	} {
		r := base
		r.TempC = ptr(15.0)
		change(&r)
		s.refusesRequest(r, field)
	}
}

// Solids hide strength: 0.4 proof for each 0.1 g/100 mL (27 CFR 30.32).
func TestResidueIsAllowedFor(t *testing.T) {
	s := filledCask(t)
	r := Request{Entry: "sample", Vessel: "A", ReadingPct: ptr(60.0), TempC: ptr(20.0)}
	plainly, _, err := s.resolve(r)
	if err != nil {
		t.Fatal(err)
	}
	r.Residue = ptr(0.25)
	f, _, err := s.resolve(r)
	if err != nil {
		t.Fatal(err)
	}
	hidden := float64(f.(*Sample).Reading.StrengthPct - plainly.(*Sample).Reading.StrengthPct)
	near(t, "hidden strength, % vol", hidden, 0.5, 0.01) // 1.0 proof
	if c := f.(*Sample).Reading.Correction; !strings.Contains(c, "solids") {
		t.Errorf("the correction is said to be %q", c)
	}
}

func TestUnlikelyThingsAreAsked(t *testing.T) {
	s := filledCask(t)
	s.record(&Draw{Vessel: "A", Measure: measure(t, 10, 60)})
	s.on("2020-06-01").record(&Sample{Vessel: "A", Reading: &Reading{StrengthPct: 52}})
	for code, r := range map[string]Request{
		"stronger_than_filled": {StrengthPct: ptr(62.1)},
		"proof_as_percent":     {StrengthPct: ptr(99.0)},
		"far_from_last":        {StrengthPct: ptr(30.0)},
		"more_than_books":      {VolumeL: ptr(195.0)},
		"far_less":             {VolumeL: ptr(120.0)},
	} {
		r.Entry, r.Vessel = "sample", "A"
		_, questions, err := s.resolve(r)
		if err != nil || !asked(questions, code) {
			t.Errorf("%s: asked %+v (%v)", code, questions, err)
		}
	}
	_, questions, err := s.resolve(Request{Entry: "sample", Vessel: "A", StrengthPct: ptr(51.8), VolumeL: ptr(188.0)})
	if err != nil || len(questions) != 0 {
		t.Errorf("of a likely sample it is asked %+v (%v)", questions, err)
	}
	_, questions, err = s.resolve(Request{Entry: "fill", Vessel: "B", From: "rye 1", VolumeL: ptr(10.0), StrengthPct: ptr(63.0)})
	if err != nil || !asked(questions, "stronger_than_filled") {
		t.Errorf("of a fill stronger than its batch it is asked %+v (%v)", questions, err)
	}
}
