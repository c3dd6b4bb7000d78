package book

import (
	"slices"
	"sort"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
)

// StockLine is one vessel as it stands, by the estimator. The JSON names are a promise.
type StockLine struct {
	Vessel         string   `json:"vessel"`
	On             string   `json:"on"`
	Kind           string   `json:"kind"`
	Place          string   `json:"place"`
	VolumeL        float64  `json:"volume_l"`
	VolumeSDL      float64  `json:"volume_sd_l"`
	StrengthPct    float64  `json:"strength_pct"`
	StrengthSD     float64  `json:"strength_sd"`
	PureAlcoholL   float64  `json:"pure_alcohol_l"`
	AgeDays        int      `json:"age_days"`      // alcohol-weighted mean, days in wood
	YoungestDays   int      `json:"youngest_days"` // what an age statement goes by
	LossPctPerYear float64  `json:"loss_pct_per_year"`
	DriftPerYear   float64  `json:"drift_pct_per_year"`
	Flags          []string `json:"flags"`

	CapacityL  float64            `json:"capacity_l"`
	Wood       string             `json:"wood,omitempty"`
	WoodState  string             `json:"wood_state,omitempty"`
	MakerCode  string             `json:"maker_code,omitempty"`
	Batches    map[string]float64 `json:"batches,omitempty"`
	Grains     map[string]float64 `json:"grains,omitempty"`
	BookL      float64            `json:"book_volume_l"`
	RateVsKind float64            `json:"rate_vs_kind"`
	Samples    int                `json:"samples"`
	FilledOn   string             `json:"filled_on,omitempty"`
	SampledOn  string             `json:"sampled_on,omitempty"`

	State loss.State `json:"-"`
}

// Empty says whether the vessel holds nothing.
func (l StockLine) Empty() bool { return slices.Contains(l.Flags, loss.FlagEmpty) }

// Stock lists every vessel, sorted by code.
func (v *View) Stock() (lines []StockLine) {
	for from, more := 0, v.memo.unreadRows(); more; from += filledAtOnce { // the table keeps it from page to page
		more = v.fillTable(from)
	}
	v.withTable(func(t *table, now *View) {
		t.estimate(now, everyRow(len(t.rows)))
		lines = make([]StockLine, len(t.rows))
		for i := range t.rows {
			lines[i] = t.rows[i].StockLine
		}
	})
	return lines
}

// StockLine is one vessel's line; the vessel must be registered.
func (v *View) StockLine(code string) StockLine {
	return remember(v, code, "stock", func() StockLine { return v.stockLine(code) })
}

func (v *View) stockLine(code string) StockLine {
	line, contents := v.bookLine(code)
	if !line.Empty() {
		line.estimated(v.estimateOf(code, contents))
	}
	return line
}

// bookLine is what the books alone say of a vessel, and what they have in it.
func (v *View) bookLine(code string) (StockLine, cellar.Contents) {
	vessel := v.State.Vessels[code]
	account := cellar.VesselAccount(code)
	line := StockLine{
		Vessel: code, On: v.On.String(), Kind: string(vessel.Kind), Place: vessel.PlacedAt,
		CapacityL: float64(vessel.CapacityL), Wood: vessel.Wood, WoodState: string(vessel.WoodState),
		MakerCode: vessel.MakerCode, Flags: []string{},
	}
	line.FilledOn, line.SampledOn = filledAndSampled(vessel)
	if v.State.IsEmpty(code) {
		line.Flags = append(line.Flags, loss.FlagEmpty)
		return line, cellar.Contents{}
	}
	contents := v.State.ContentsOn(account, v.On)
	ages := v.State.AgesOn(account, v.On)
	line.AgeDays, line.YoungestDays = ages.Mean, ages.Youngest
	line.Batches, line.Grains = cellar.BatchShares(contents.Parts), v.State.GrainShares(contents.Parts)
	line.BookL = float64(contents.Amount.Volume())
	return line, contents
}

// estimateOf is the estimator's state of a vessel; without one the books serve.
func (v *View) estimateOf(code string, contents cellar.Contents) loss.State {
	if v.Model != nil {
		if s, known := v.Model.State(code, dayNumber(v.At)); known {
			return s
		}
	}
	book := func(x float64) loss.Estimate { return loss.Estimate{Mean: x, Low: x, High: x} }
	return loss.State{
		Code: code, VolumeL: book(float64(contents.Amount.Volume())), StrengthPct: book(float64(contents.Amount.Strength())),
		PureAlcoholL: book(float64(contents.Amount.PureAlcohol())), Flags: []string{loss.FlagPriorOnly},
	}
}

func (l *StockLine) estimated(s loss.State) {
	l.State = s
	l.VolumeL, l.VolumeSDL = s.VolumeL.Mean, s.VolumeL.SD
	l.StrengthPct, l.StrengthSD = s.StrengthPct.Mean, s.StrengthPct.SD
	l.PureAlcoholL = s.PureAlcoholL.Mean
	l.LossPctPerYear, l.DriftPerYear = s.LossPctPerYear.Mean, s.DriftPctPerYear.Mean
	l.RateVsKind, l.Samples = s.RateVsKind, s.Samples
	l.Flags = append(l.Flags, s.Flags...)
	sort.Strings(l.Flags)
}

// filledAndSampled finds the dates of the present filling and its last sample.
func filledAndSampled(v *cellar.VesselState) (filled, sampled string) {
	for _, e := range slices.Backward(v.Events) {
		if sampled == "" && (e.Reading != nil || e.Content != nil) {
			sampled = e.Entry.Day().String()
		}
		if e.Filled {
			return e.Entry.Day().String(), sampled
		}
	}
	return "", ""
}

// ForecastLine is the estimator's state of a vessel on a date. The JSON names are a promise.
type ForecastLine struct {
	Vessel        string   `json:"vessel"`
	At            string   `json:"at"`
	VolumeL       float64  `json:"volume_l"`
	VolumeSDL     float64  `json:"volume_sd_l"`
	VolumeLoL     float64  `json:"volume_lo_l"`
	VolumeHiL     float64  `json:"volume_hi_l"`
	StrengthPct   float64  `json:"strength_pct"`
	StrengthSD    float64  `json:"strength_sd"`
	StrengthLoPct float64  `json:"strength_lo_pct"`
	StrengthHiPct float64  `json:"strength_hi_pct"`
	PureAlcoholL  float64  `json:"pure_alcohol_l"`
	Flags         []string `json:"flags"`
}

// Forecast gives the estimator's state of every vessel as a day begins, past
// or future, if nothing more is done to it.
func (v *View) Forecast(at cellar.Day) []ForecastLine {
	lines := make([]ForecastLine, 0, len(v.State.Vessels))
	for _, code := range v.State.VesselCodes() {
		s, _ := v.Model.State(code, dayNumber(at.Time()))
		lines = append(lines, ForecastLine{
			Vessel: code, At: at.String(),
			VolumeL: s.VolumeL.Mean, VolumeSDL: s.VolumeL.SD, VolumeLoL: s.VolumeL.Low, VolumeHiL: s.VolumeL.High,
			StrengthPct: s.StrengthPct.Mean, StrengthSD: s.StrengthPct.SD,
			StrengthLoPct: s.StrengthPct.Low, StrengthHiPct: s.StrengthPct.High,
			PureAlcoholL: s.PureAlcoholL.Mean, Flags: append([]string{}, s.Flags...),
		})
	}
	return lines
}
