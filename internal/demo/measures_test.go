package demo

import (
	"go/parser"
	"go/token"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/cellar"
)

func TestOneTypingErrorIsTakenBack(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	voids := entriesOf(s, "void")
	if len(voids) != 1 {
		t.Fatalf("%d voids", len(voids))
	}
	for i, void := range voids {
		slip := s.Entries[void.VoidOf]
		if void.VoidOf >= i || slip.Request.Entry != "sample" || !void.RecordedAt.After(slip.RecordedAt) {
			t.Errorf("entry %d takes back entry %d, a %s", i, void.VoidOf, slip.Request.Entry)
		}
		right := s.Entries[i+1].Request
		if right.Vessel != slip.Request.Vessel || !right.When.Equal(slip.Request.When) ||
			math.Abs(*right.StrengthPct-*slip.Request.StrengthPct) < 15 {
			t.Errorf("%+v was not put right by %+v", slip.Request, right)
		}
	}
	for i, e := range s.Entries {
		if e.VoidOf != -1 && e.Request.Entry != "void" {
			t.Errorf("entry %d, a %s, takes back entry %d", i, e.Request.Entry, e.VoidOf)
		}
	}
}

func TestOneSampleIsRecordedLate(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	late := 0
	for i, e := range s.Entries {
		if e.RecordedAt.Sub(e.Request.When) < 5*24*time.Hour {
			continue
		}
		late++
		if e.Request.Entry != "sample" || !s.Entries[i-1].Request.When.After(e.Request.When) {
			t.Errorf("%+v is late, and nothing happened meanwhile", e.Request)
		}
	}
	if late != 1 {
		t.Errorf("%d entries were recorded late", late)
	}
}

func TestWaysOfMeasuring(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	found := map[string]int{}
	proof, dried := 0, 0
	for _, e := range entriesOf(s, "sample") {
		r := e.Request
		count := func(way string, is bool) {
			if is {
				found[way]++
			}
		}
		content := r.VolumeL != nil || r.GrossKg != nil
		count("raw with temperature", r.ReadingPct != nil && r.TempC != nil)
		count("corrected", r.StrengthPct != nil)
		count("weighed", r.GrossKg != nil)
		count("dipped", r.VolumeL != nil)
		count("strength only", (r.StrengthPct != nil || r.ReadingPct != nil) && !content)
		count("tasted in words", r.Senses != nil)
		count("taken out", r.DrawnL != nil)
		if r.Scale == "proof" {
			proof++
		}
		if r.Residue != nil {
			dried++
		}
	}
	for _, way := range []string{"raw with temperature", "corrected", "weighed", "dipped", "strength only", "tasted in words", "taken out"} {
		if found[way] < 40 {
			t.Errorf("%d samples %s", found[way], way)
		}
	}
	if proof < 5 || dried < 5 {
		t.Errorf("%d samples read in proof, %d with their solids", proof, dried)
	}
}

func TestSomeSamplesAreMissed(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	last := map[string]time.Time{}
	missed := 0
	for _, e := range s.Entries {
		r := e.Request
		if r.Entry != "sample" || r.Vessel != s.Leaking {
			continue
		}
		if before, ok := last[r.Vessel]; ok && r.When.Sub(before) > 50*24*time.Hour {
			missed++
		}
		last[r.Vessel] = r.When
	}
	if missed == 0 || missed > 12 {
		t.Errorf("%d monthly samples were missed", missed)
	}
}

// Readings err as instruments do: the last corrected strengths, against the
// truth a few weeks later, are off by tenths, and not by nothing.
func TestReadingsAreNoisy(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	latest := map[string]cellar.Request{}
	for _, e := range entriesOf(s, "sample") {
		r := e.Request
		if r.StrengthPct != nil && anyDay().Sub(r.When) < 45*24*time.Hour && r.When.After(latest[r.Vessel].When) {
			latest[r.Vessel] = r
		}
	}
	var square float64
	for code, r := range latest {
		_, strength := s.Truth(code)
		square += (*r.StrengthPct - strength) * (*r.StrengthPct - strength)
	}
	if sd := math.Sqrt(square / float64(len(latest))); len(latest) < 5 || sd < 0.04 || sd > 0.5 {
		t.Errorf("%d readings are off by %.3f %% vol (one standard deviation)", len(latest), sd)
	}
}

// Raw readings, of either scale and with or without solids, are corrected to
// what is truly there: the last of each vessel, against the truth since.
func TestRawReadingsComeOutRight(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	state := folded(t, s, anyDay())
	scales, solids := map[string]int{}, 0
	for _, v := range state.Vessels {
		_, strength := s.Truth(v.Code)
		for i := len(v.Events) - 1; i >= 0 && strength > 0; i-- {
			r := v.Events[i].Reading
			if r == nil {
				continue
			}
			if off := float64(r.StrengthPct) - strength; r.Scale != "corrected" && math.Abs(off) > 0.6 {
				t.Errorf("%s: %s reading of %.1f comes to %.2f %% vol, off by %.2f", v.Code, r.Scale, r.Value, float64(r.StrengthPct), off)
			}
			scales[r.Scale]++
			if r.Residue > 0 {
				solids++
			}
			break
		}
	}
	if scales["vol"] < 5 || scales["proof"] == 0 || solids == 0 {
		t.Errorf("last readings by scale %v, with solids %d", scales, solids)
	}
}

// In the damp cellar strength falls, in the dry loft it rises, and small casks
// lose more than large ones: what is known of cellars, and must be found again.
func TestWoodDoesWhatWoodDoes(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	truth := func(maker string) (litres, strength float64) {
		for _, v := range s.Vessels {
			if v.MakerCode == maker {
				return s.Truth(v.Code)
			}
		}
		t.Fatalf("no vessel %q", maker)
		return 0, 0
	}
	if _, q := truth("CPR-0117"); q > 63.4-1 {
		t.Errorf("the 110 L cask in the cellar went from 63.4 to %.1f %% vol", q)
	}
	small, q := truth("CPR-0140")
	if q < 60.5+1 {
		t.Errorf("the 30 L cask in the loft went from 60.5 to %.1f %% vol", q)
	}
	large, _ := truth("QM 225/1")
	if small/29.2 > large/220-0.1 {
		t.Errorf("%.2f of the small cask is left, %.2f of the large one", small/29.2, large/220)
	}
}

// By hand: at 60 % vol (52 % by mass) the mole fraction of ethanol is 0.298, and
// Margules' formula with 1.6 and 0.8 gives 0.518 and 0.833.
func TestActivities(t *testing.T) {
	e, w := litresOf(100, 60).activities()
	if math.Abs(e-0.518) > 0.002 || math.Abs(w-0.833) > 0.002 {
		t.Errorf("activities %.4f and %.4f", e, w)
	}
	last := 0.0
	for q := 5.0; q < 99; q++ {
		e, w := litresOf(1, q).activities()
		if e <= last || w <= 0 || w >= 1 {
			t.Errorf("at %.0f %% vol the activities are %.4f and %.4f", q, e, w)
		}
		last = e
	}
}

// A story fitted to the estimator could not prove it wrong.
func TestKnowsNothingOfTheEstimator(t *testing.T) {
	files, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if !strings.HasSuffix(file.Name(), ".go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file.Name(), nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, spec := range parsed.Imports {
			if strings.Contains(spec.Path.Value, "internal/loss") {
				t.Errorf("%s imports %s", file.Name(), spec.Path.Value)
			}
		}
	}
}
