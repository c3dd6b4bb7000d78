package exchange

import (
	"strings"
	"testing"
	"time"
)

func TestParseClimate(t *testing.T) {
	got, err := ParseClimate("2024-03-31,11.5,78\n\n2024-04-01T06:00:00+02:00, -2 ,\r\n2024-04-02,,80\n")
	if err != nil || len(got) != 3 {
		t.Fatalf("%v %v", got, err)
	}
	if *got[0].TempC != 11.5 || *got[0].HumidityPct != 78 || got[1].HumidityPct != nil || *got[1].TempC != -2 || got[2].TempC != nil {
		t.Errorf("read as %+v", got)
	}
	if want := time.Date(2024, 4, 1, 4, 0, 0, 0, time.UTC); !got[1].At.Equal(want) {
		t.Errorf("at %v, want %v", got[1].At, want)
	}
	for text, words := range map[string]string{
		"2024-03-31,11.5":                    "line 1",
		"2024-03-31,11.5,78\n2024-02-30,1,2": "line 2",
		"2024-03-31,\"11,5\",78":             "line 1",
		"2024-03-31,eleven,78":               "eleven",
		"2024-03-31,11.5,78,9":               "commas",
		"2024-03-31,1e400,78":                "line 1",
		"31.03.2024,11.5,78":                 "31.03.2024",
	} {
		if _, err := ParseClimate(text); err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("%q: %v, want %q said", text, err, words)
		}
	}
}
