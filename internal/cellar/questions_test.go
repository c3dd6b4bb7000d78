package cellar

import (
	"testing"
	"time"

	"example.org/croze/internal/spirit"
)

// East of Greenwich the date of today begins before the day does in UTC.
func TestTodaysDateIsNotInTheFuture(t *testing.T) {
	early := time.Date(2026, 3, 2, 7, 0, 0, 0, time.FixedZone("", 11*3600)) // 1 March, 20:00 UTC
	for date, ok := range map[string]bool{"2026-03-02": true, "2026-03-03": false, "2026-03-01": true} {
		err := checkWhen(mustDay(t, date).Time(), early)
		if (err == nil) != ok {
			t.Errorf("%s: %v", date, err)
		}
	}
}

// A top-up beyond the likely room is asked about, one within it is not.
func TestTopUpBeyondTheLikelyRoomIsAskedAbout(t *testing.T) {
	s := newStory(t)
	s.vessel("C", Cask, 50)
	s.batch("rye 1", 200, 62)
	s.on("2020-02-01").does(Request{Entry: "fill", Vessel: "C", From: "rye 1", VolumeL: ptr(50.0)})
	for more, asked := range map[float64]bool{1: false, 9: true} {
		_, questions, err := s.on("2021-02-01").resolve(Request{Entry: "top_up", Vessel: "C", From: "rye 1", VolumeL: ptr(more)})
		if err != nil {
			t.Fatal(err)
		}
		if got := len(questions) == 1 && questions[0].Code == "more_than_fits"; got != asked {
			t.Errorf("%g L: asked %v, want %v", more, questions, asked)
		}
	}
}

// A thermometer in °F read as °C is asked about, a true cold or warm reading is not.
func TestFahrenheitAsCelsiusIsAskedAbout(t *testing.T) {
	s := newStory(t)
	s.vessel("C", Cask, 50)
	s.batch("rye 1", 200, 62)
	s.on("2020-02-01").does(Request{Entry: "fill", Vessel: "C", From: "rye 1", VolumeL: ptr(50.0)})
	stem := spirit.Hydrometer{Scale: spirit.ScaleStrength, Base: spirit.Reference}
	p, err := spirit.Strength(61.5).MassFraction()
	if err != nil {
		t.Fatal(err)
	}
	shown, err := stem.Reading(p, spirit.Fahrenheit(39).Celsius())
	if err != nil {
		t.Fatal(err)
	}
	for temperature, asked := range map[float64]bool{39: true, float64(spirit.Fahrenheit(39).Celsius()): false} {
		_, questions, err := s.on("2021-02-01").resolve(Request{Entry: "sample", Vessel: "C", ReadingPct: ptr(shown), TempC: ptr(temperature)})
		if err != nil {
			t.Fatal(err)
		}
		if got := len(questions) == 1 && questions[0].Code == "fahrenheit_as_celsius"; got != asked {
			t.Errorf("%.2f: asked %v, want %v", temperature, questions, asked)
		}
	}
}
