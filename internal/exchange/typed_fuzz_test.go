package exchange_test

import (
	"math"
	"strings"
	"testing"

	"example.org/croze/internal/exchange"
)

// FuzzClimate: what is pasted of a logger's file gives a reading for each line
// with figures that are numbers, or an error that names a line that is there.
func FuzzClimate(f *testing.F) {
	for _, seed := range []string{
		"2024-03-31,11.5,78", "2024-03-31T12:00:00+02:00,,60\n\n2024-04-01,-3,\n", "", ",,", "2024-03-31;11,5;78", "2024-03-31,1e3,78",
		"2024-02-30,1,1", "2024-03-31,11.5,78\r\n2024-03-31,11.5,78", "2024-03-31,NaN,Inf", "\x00", "0001-01-01,1,1", "2024-03-31,−5,100",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		readings, err := exchange.ParseClimate(text)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "line ") || readings != nil {
				t.Fatalf("%v with %v", err, readings)
			}
			return
		}
		if lines := strings.Count(text, "\n") + 1; len(readings) > lines {
			t.Fatalf("%d readings of %d lines", len(readings), lines)
		}
		for _, r := range readings {
			for _, x := range []*float64{r.TempC, r.HumidityPct} {
				if x != nil && (math.IsNaN(*x) || math.IsInf(*x, 0)) {
					t.Fatalf("%q gives %v", text, *x)
				}
			}
			if r.At.IsZero() || r.At.Year() < 1900 {
				t.Fatalf("%q gives a reading of %v", text, r.At)
			}
		}
	})
}

// FuzzShares: shares as typed into a form come out again as they went in, are
// 0 to 1 and have names, or there is a reason.
func FuzzShares(f *testing.F) {
	for _, seed := range []string{"rye:0.6;barley:0.4", "rye", ":1", "rye:", "a:1;a:1", "a:0,5", "a:1e-3", " a : .5 ; b:0", "a:-0", ";", "\x00:1", "rye:0.6;Rye:0.4"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		shares, err := exchange.ParseShares(text)
		if err != nil {
			if shares != nil || err.Error() == "" {
				t.Fatalf("%v with %v", err, shares)
			}
			return
		}
		for name, share := range shares {
			if name == "" || !(share >= 0 && share <= 1) {
				t.Fatalf("%q gives %q: %v", text, name, share)
			}
		}
		if len(shares) == 0 || len(shares) != strings.Count(text, ";")+1 {
			t.Fatalf("%q gives %v", text, shares)
		}
	})
}
