package exchange

import (
	"fmt"
	"strings"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// ParseClimate reads what a logger gives, one reading a line: a date or a time
// by RFC 3339, °C and % relative humidity, with commas between; either figure
// may be blank. The error names the line.
func ParseClimate(text string) ([]cellar.ClimateReading, error) {
	var readings []cellar.ClimateReading
	for i, line := range strings.Split(strings.TrimSpace(text), "\n") {
		if strings.TrimSpace(line) == "" {
			continue
		}
		r, why := climateLine(line)
		if why != "" {
			return nil, fmt.Errorf("line %d: %q: %s", i+1, strings.TrimSpace(line), why)
		}
		readings = append(readings, r)
	}
	return readings, nil
}

func climateLine(line string) (r cellar.ClimateReading, why string) {
	fields := strings.Split(line, ",")
	if len(fields) != 3 {
		return r, "write a date, the temperature and the humidity, with commas between, as 2024-03-31,11.5,78"
	}
	var at time.Time
	if at, why = readWhen(strings.TrimSpace(fields[0])); why != "" {
		return r, why
	}
	r.At = at
	for i, into := range []**float64{&r.TempC, &r.HumidityPct} {
		text := strings.TrimSpace(fields[i+1])
		if text == "" {
			continue
		}
		v, err := spirit.ParseNumber([]string{"temp_c", "humidity_pct"}[i], text)
		if err != nil {
			return r, err.Error()
		}
		*into = &v
	}
	return r, ""
}
