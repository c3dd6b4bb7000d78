package demo

import (
	"math"
	"math/rand/v2"
	"time"

	"example.org/croze/internal/cellar"
)

// air is a day's air in a room.
type air struct {
	tempC    float64
	humidity float64 // 0 to 1
}

// room is a place and how its air goes through the year.
type room struct {
	name         string
	mean, swing  float64 // °C
	damp, wetter float64 // humidity, and how much more of it in winter, 0 to 1
	lag          float64 // days by which it follows the weather outside
	knownTemp    bool    // somebody has a thermometer there
	knownDamp    bool    // … and a hygrometer
}

const (
	mossCellar = "Moss Cellar"
	longBarn   = "Long Barn"
	pressHouse = "Press House"
	rafterLoft = "Rafter Loft"
	tunRoom    = "Tun Room"
)

var rooms = []room{
	{name: mossCellar, mean: 10.8, swing: 3, damp: 0.85, wetter: -0.03, lag: 40, knownTemp: true, knownDamp: true},
	{name: longBarn, mean: 11.4, swing: 8, damp: 0.71, wetter: 0.08, lag: 4, knownTemp: true, knownDamp: true},
	{name: pressHouse, mean: 13.7, swing: 5.5, damp: 0.66, wetter: 0.05, lag: 8, knownTemp: true},
	{name: rafterLoft, mean: 15.9, swing: 9, damp: 0.56, wetter: 0.07, lag: 2, knownTemp: true, knownDamp: true},
	{name: tunRoom, mean: 17, swing: 2.5, damp: 0.52, wetter: -0.05, lag: 10},
}

// places are the rooms as they are registered, the figures rounded.
func places() []cellar.Place {
	var out []cellar.Place
	for _, r := range rooms {
		p := cellar.Place{Name: r.name}
		if r.knownTemp {
			p.TempC = number(math.Round(r.mean))
		}
		if r.knownDamp {
			p.HumidityPct = number(math.Round(20*r.damp) * 5)
		}
		out = append(out, p)
	}
	return out
}

// weather turns day by day. Warm and damp spells last a week or so.
type weather struct {
	lots        *rand.Rand
	spell, damp float64 // °C above the season, humidity above it
	today       map[string]air
}

func newWeather(lots *rand.Rand) *weather {
	return &weather{lots: lots, today: make(map[string]air)}
}

func (w *weather) turn(date time.Time) {
	w.spell = 0.86*w.spell + 1.3*w.lots.NormFloat64()
	w.damp = 0.8*w.damp + 0.025*w.lots.NormFloat64()
	for _, r := range rooms {
		w.today[r.name] = r.on(float64(date.YearDay()), w.spell, w.damp)
	}
}

// on returns the air on a day of the year; the warmest day outside is in late July.
func (r room) on(yearDay, spell, damp float64) air {
	season := math.Cos(2 * math.Pi * (yearDay - 205 - r.lag) / 365.25)
	openness := r.swing / 9
	return air{
		tempC:    r.mean + r.swing*season + openness*spell,
		humidity: min(0.97, max(0.3, r.damp-r.wetter*season+openness*damp)),
	}
}

func (w *weather) in(place string) air { return w.today[place] }

// number returns a pointer to a value, as a filled-in field wants it.
func number(v float64) *float64 { return &v }
