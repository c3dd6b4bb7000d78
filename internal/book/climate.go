package book

import (
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
)

// LogClimate takes readings of the air of a place. The estimator lets them
// drive its rates, so the whole stock is fitted again in the background.
func (b *Book) LogClimate(id, who string, f cellar.ClimateFact) error {
	if err := cellar.CheckClimate(&f, b.edge.Now()); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.register(id, who, &f); err != nil {
		return err
	}
	if b.model != nil && !b.fitting {
		b.fitInBackground()
	}
	return nil
}

// climateLog is a place's readings as the estimator takes them.
func climateLog(readings []cellar.ClimateReading) []loss.ClimateReading {
	log := make([]loss.ClimateReading, 0, len(readings))
	for _, r := range readings {
		l := loss.ClimateReading{At: dayNumber(r.At)}
		if r.TempC != nil {
			l.TempC, l.TempKnown = *r.TempC, true
		}
		if r.HumidityPct != nil {
			l.HumidityPct, l.HumidityKnown = *r.HumidityPct, true
		}
		log = append(log, l)
	}
	return log
}
