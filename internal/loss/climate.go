package loss

import (
	"math"
	"sort"
)

// What is taken of a place of which nothing is known.
const (
	usualTempC    = 15.0
	usualHumidity = 0.65 // 0 to 1
)

// vaporisation is the heat of vaporisation of both liquids over the gas
// constant, in kelvin (about 43 kJ/mol): what drives a warm store's losses.
const vaporisation = 43000 / 8.314

// warmth returns the logarithm of the rate at a temperature over that at the usual one.
func warmth(tempC float64) float64 {
	return -vaporisation * (1/(tempC+273.15) - 1/(usualTempC+273.15))
}

// air is the climate of one place in the form that the reckoning needs.
type air struct {
	logRate  float64 // of the usual temperature
	humidity float64 // 0 to 1
	humid    bool    // humidity is known
	warmths  series  // logged: rate over that at the usual temperature
	humids   series  // logged: humidity, 0 to 1
}

func newAir(c Climate) *air {
	a := &air{humidity: usualHumidity}
	if c.TempKnown {
		a.logRate = warmth(c.TempC)
	}
	if c.HumidityKnown {
		a.humidity, a.humid = c.HumidityPct/100, true
	}
	var temps, humids []reading
	for _, r := range c.Log {
		if r.TempKnown {
			temps = append(temps, reading{r.At, math.Exp(warmth(r.TempC))})
		}
		if r.HumidityKnown {
			humids = append(humids, reading{r.At, r.HumidityPct / 100})
		}
	}
	a.warmths, a.humids = newSeries(temps), newSeries(humids)
	a.humid = a.humid || a.humids.usable()
	return a
}

// mean returns the year's average: the logarithm of the rate, and the humidity.
func (a *air) mean() (logRate, humidity float64) {
	logRate, humidity = a.logRate, a.humidity
	if a.warmths.usable() {
		logRate = math.Log(a.warmths.yearMean())
	}
	if a.humids.usable() {
		humidity = a.humids.yearMean()
	}
	return logRate, humidity
}

// between returns the averages over a span of days.
func (a *air) between(from, to float64) (logRate, humidity float64) {
	logRate, humidity = a.logRate, a.humidity
	if a.warmths.usable() {
		logRate = math.Log(a.warmths.average(from, to))
	}
	if a.humids.usable() {
		humidity = a.humids.average(from, to)
	}
	return logRate, humidity
}

type reading struct{ at, value float64 }

// series is a logged quantity. Inside the log it is straight between readings;
// outside it (and across long gaps) the same week of the logged years stands in.
type series struct {
	readings []reading
	running  []float64   // integral up to each reading, value·days
	byWeek   [52]float64 // mean of each week of the year
	yearly   float64
}

// leastLog is how many days of readings make a log worth using.
const leastLog = 60

func newSeries(readings []reading) series {
	sort.Slice(readings, func(i, j int) bool {
		if readings[i].at != readings[j].at {
			return readings[i].at < readings[j].at
		}
		return readings[i].value < readings[j].value
	})
	s := series{readings: readings, running: make([]float64, len(readings))}
	for i := 1; i < len(readings); i++ {
		a, b := readings[i-1], readings[i]
		s.running[i] = s.running[i-1] + (b.at-a.at)*(a.value+b.value)/2
	}
	if s.usable() {
		s.fillWeeks()
	}
	return s
}

func (s *series) usable() bool {
	n := len(s.readings)
	return n > 1 && s.readings[n-1].at-s.readings[0].at >= leastLog
}

// fillWeeks averages the log by week of the year. Weeks that were never logged
// get the mean of the whole.
func (s *series) fillWeeks() {
	var sum, count [52]float64
	first, last := s.readings[0].at, s.readings[len(s.readings)-1].at
	for day := first; day <= last; day++ {
		w := week(day)
		sum[w] += s.inside(day)
		count[w]++
	}
	total, weeks := 0.0, 0.0
	for w := range sum {
		if count[w] > 0 {
			s.byWeek[w] = sum[w] / count[w]
			total, weeks = total+s.byWeek[w], weeks+1
		}
	}
	s.yearly = total / weeks
	for w := range sum {
		if count[w] == 0 {
			s.byWeek[w] = s.yearly
		}
	}
}

func week(day float64) int {
	year := day / daysPerYear
	return min(51, int(52*(year-math.Floor(year))))
}

func (s *series) yearMean() float64 { return s.yearly }

// inside interpolates at a day within the log.
func (s *series) inside(day float64) float64 {
	i := sort.Search(len(s.readings), func(i int) bool { return s.readings[i].at >= day })
	if i == 0 {
		return s.readings[0].value
	}
	if i == len(s.readings) {
		return s.readings[i-1].value
	}
	a, b := s.readings[i-1], s.readings[i]
	if b.at == a.at {
		return b.value
	}
	return a.value + (b.value-a.value)*(day-a.at)/(b.at-a.at)
}

// integral returns the running integral at a day within the log.
func (s *series) integral(day float64) float64 {
	i := sort.Search(len(s.readings), func(i int) bool { return s.readings[i].at > day })
	if i == 0 {
		return 0
	}
	a := s.readings[i-1]
	return s.running[i-1] + (day-a.at)*(a.value+s.inside(day))/2
}

// average returns the mean over a span of days, from below to.
func (s *series) average(from, to float64) float64 {
	first, last := s.readings[0].at, s.readings[len(s.readings)-1].at
	if from >= first && to <= last {
		return (s.integral(to) - s.integral(from)) / (to - from)
	}
	sum := 0.0
	const points = 8
	for i := range points {
		day := from + (to-from)*(float64(i)+0.5)/points
		if day >= first && day <= last {
			sum += s.inside(day)
		} else {
			sum += s.byWeek[week(day)]
		}
	}
	return sum / points
}
