package exchange

import (
	"strings"

	"example.org/croze/internal/book"
)

// Stock lays the stock out as a sheet; an empty vessel has no figures.
func Stock(lines []book.StockLine) Sheet {
	s := Sheet{Name: "Stock", Columns: []string{
		"vessel", "maker_code", "on", "kind", "capacity_l", "wood", "wood_state", "place", "volume_l", "volume_sd_l",
		"strength_pct", "strength_sd", "pure_alcohol_l", "age_days", "youngest_days", "loss_pct_per_year", "drift_pct_per_year",
		"book_volume_l", "filled_on", "sampled_on", "batches", "grains", "flags",
	}}
	for _, l := range lines {
		row := []any{l.Vessel, l.MakerCode, l.On, l.Kind, l.CapacityL, l.Wood, l.WoodState, l.Place}
		if l.Empty() {
			row = append(row, make([]any, 10)...)
		} else {
			row = append(row, l.VolumeL, l.VolumeSDL, l.StrengthPct, l.StrengthSD, l.PureAlcoholL,
				l.AgeDays, l.YoungestDays, l.LossPctPerYear, l.DriftPerYear, l.BookL)
		}
		s.Rows = append(s.Rows, append(row, l.FilledOn, l.SampledOn,
			roundedShares(l.Batches), roundedShares(l.Grains), strings.Join(l.Flags, ";")))
	}
	return s
}

// roundedShares writes shares of pure alcohol as people read them.
func roundedShares(shares map[string]float64) string {
	short := make(map[string]float64, len(shares))
	for name, share := range shares {
		short[name] = rounded(share)
	}
	return writeShares(short)
}

// Forecast lays a forecast out as a sheet.
func Forecast(lines []book.ForecastLine) Sheet {
	s := Sheet{Name: "Forecast", Columns: []string{
		"vessel", "at", "volume_l", "volume_sd_l", "volume_lo_l", "volume_hi_l",
		"strength_pct", "strength_sd", "strength_lo_pct", "strength_hi_pct", "pure_alcohol_l", "flags",
	}}
	for _, l := range lines {
		s.Rows = append(s.Rows, []any{
			l.Vessel, l.At, l.VolumeL, l.VolumeSDL, l.VolumeLoL, l.VolumeHiL,
			l.StrengthPct, l.StrengthSD, l.StrengthLoPct, l.StrengthHiPct, l.PureAlcoholL, strings.Join(l.Flags, ";"),
		})
	}
	return s
}
