package spirit

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

// typed reads a corpus of what people type, one case a line after the heading.
func typed(t testing.TB, name string) [][]string {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	lines, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return lines[1:]
}

func TestReadingsAsTyped(t *testing.T) {
	for _, line := range typed(t, "readings.csv") {
		scale, err := ParseScale(line[0])
		if err != nil {
			t.Fatal(err)
		}
		got, err := ParseReading(line[1], scale)
		checkTyped(t, line[0]+" "+line[1], got, err, line[2], line[3])
	}
}

func TestTemperaturesAsTyped(t *testing.T) {
	for _, line := range typed(t, "temperatures.csv") {
		got, err := ParseCelsius(line[0])
		checkTyped(t, line[0], float64(got), err, line[1], line[2])
	}
}

func checkTyped(t *testing.T, what string, got float64, err error, value, refused string) {
	t.Helper()
	if refused != "" {
		if err == nil || !strings.Contains(err.Error(), refused) {
			t.Errorf("%q: taken as %v or refused for another reason: %v", what, got, err)
		}
		return
	}
	want, bad := strconv.ParseFloat(value, 64)
	if bad != nil {
		t.Fatalf("corpus, %q: %v", what, bad)
	}
	if err != nil || math.Abs(got-want) > 1e-12 {
		t.Errorf("%q = %v, %v; want %v", what, got, err, want)
	}
}

func TestErrorsNameFieldAndValue(t *testing.T) {
	_, err := ParseStrength("46,2")
	var parse *ParseError
	if !errors.As(err, &parse) || parse.Field != "strength" || parse.Text != "46,2" {
		t.Errorf("strength: %v", err)
	}
	_, err = ParseProof("212")
	var out *RangeError
	if !errors.As(err, &out) || out.Quantity != "proof" || out.Value != 212 {
		t.Errorf("proof: %v", err)
	}
	if q, err := ParseProof("92.4 proof"); err != nil || q != 92.4 {
		t.Errorf("proof = %v, %v", q, err)
	}
	if _, err := ParseScale("plato"); err == nil || !strings.Contains(err.Error(), "vol, proof, density, sg") {
		t.Errorf("scale: %v", err)
	}
}

func TestScaleIsWrittenByName(t *testing.T) {
	for _, s := range []Scale{ScaleStrength, ScaleProof, ScaleDensity, ScaleGravity} {
		text, err := s.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		var back Scale
		if err := back.UnmarshalText(text); err != nil || back != s {
			t.Errorf("%s back as %v, %v", text, back, err)
		}
	}
	var s Scale
	if err := s.UnmarshalText([]byte("brix")); err == nil {
		t.Error("an unknown scale was taken")
	}
}

// Whatever is typed gives a value that the scale carries or an error that can
// be shown; and the value typed back in plain gives itself.
func FuzzReading(f *testing.F) {
	for _, line := range typed(f, "readings.csv") {
		for s := ScaleStrength; s <= ScaleGravity; s++ {
			f.Add(line[1], uint8(s))
		}
	}
	f.Fuzz(func(t *testing.T, text string, scale uint8) {
		s := Scale(scale % 4)
		v, err := ParseReading(text, s)
		if err != nil {
			checkShowable(t, err)
			return
		}
		m := stems[s]
		if !inRange(v, min(m.weak, m.strong), max(m.weak, m.strong)) {
			t.Fatalf("%q on %v gives %v", text, s, v)
		}
		plain := strconv.FormatFloat(v, 'f', -1, 64)
		if len(plain) > longestNumber {
			return // 0.000…1: fewer digits came in than go out
		}
		if back, err := ParseReading(plain, s); err != nil || back != v {
			t.Fatalf("%q gives %v, and that gives %v, %v", text, v, back, err)
		}
	})
}

func FuzzCelsius(f *testing.F) {
	for _, line := range typed(f, "temperatures.csv") {
		f.Add(line[0])
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, err := ParseCelsius(text)
		if err != nil {
			checkShowable(t, err)
			return
		}
		if !inRange(float64(v), -20, 40) {
			t.Fatalf("%q gives %v", text, v)
		}
	})
}

func FuzzScale(f *testing.F) {
	for _, name := range []string{"vol", "PROOF", " density ", "sg", "", "46"} {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseScale(text)
		if err != nil {
			checkShowable(t, err)
			return
		}
		if !strings.EqualFold(strings.TrimSpace(text), s.String()) {
			t.Fatalf("%q gives %v", text, s)
		}
	})
}

func checkShowable(t *testing.T, err error) {
	t.Helper()
	if !utf8.ValidString(err.Error()) || len(err.Error()) > 400 {
		t.Fatalf("error cannot be shown: %q", err)
	}
}
