package cellar

import (
	"slices"
	"time"
)

// MostClimateReadings is how many readings one entry may bring: some years of daily ones.
const MostClimateReadings = 2000

// ClimateReading is the air of a place at a time; nil is not read.
type ClimateReading struct {
	At          time.Time `json:"at"`
	TempC       *float64  `json:"temp_c,omitempty"`
	HumidityPct *float64  `json:"humidity_pct,omitempty"`
}

// ClimateFact brings readings of the air of a place, one or a logger's worth.
type ClimateFact struct {
	Place    string           `json:"place"`
	Readings []ClimateReading `json:"readings"`
}

// Kind is "climate".
func (*ClimateFact) Kind() string { return "climate" }

// Subjects names the place.
func (f *ClimateFact) Subjects() []Account { return []Account{Account("place:" + f.Place)} }

func (f *ClimateFact) test(s *State) error {
	if _, known := s.Places[f.Place]; !known {
		return notFound("place", f.Place, "no such place is registered")
	}
	return nil
}

func (f *ClimateFact) register(s *State) {
	log := slices.Concat(s.climate[f.Place], f.Readings)
	slices.SortStableFunc(log, func(a, b ClimateReading) int { return a.At.Compare(b.At) })
	s.climate[f.Place] = log
}

// ClimateOf returns the readings of a place, oldest first.
func (s *State) ClimateOf(place string) []ClimateReading { return s.climate[place] }

// CheckClimate holds readings to what air can be, none of them in the future.
func CheckClimate(f *ClimateFact, now time.Time) error {
	if len(f.Readings) == 0 || len(f.Readings) > MostClimateReadings {
		return invalid("readings", len(f.Readings), "from 1 to %d at a time", MostClimateReadings)
	}
	for _, r := range f.Readings {
		if err := checkWhen(r.At, now); err != nil {
			return err
		}
		if r.TempC == nil && r.HumidityPct == nil {
			return invalid("temp_c", nil, "the reading of %s says neither temperature nor humidity", DayOf(r.At))
		}
		if err := CheckPlace(Place{Name: f.Place, TempC: r.TempC, HumidityPct: r.HumidityPct}); err != nil {
			return err
		}
	}
	return nil
}
