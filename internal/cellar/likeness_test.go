package cellar

import (
	"encoding/json"
	"testing"
)

// TestNamesThatLookAlike: what an eye cannot tell apart is one name.
func TestNamesThatLookAlike(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"Oak 7", "oak  7", true},
		{"Oak 7", " Oak 7 ", true},
		{"Oak\u00a07", "Oak 7", true},
		{"CAX-1", "САХ-1", true},    // Cyrillic
		{"TAP", "ΤΑΡ", true},        // Greek
		{"Ｏak７", "oak7", true},      // full width
		{"e\u0301", "\u00e9", true}, // composed and not
		{"A0", "AO", false},
		{"Oak 7", "Oak7", false},
		{"rye", "oat", false},
	} {
		if got := likeness(c.a) == likeness(c.b); got != c.same {
			t.Errorf("%q and %q: alike is %v", c.a, c.b, got)
		}
	}
}

// TestAVesselIsFoundByWhatLooksLikeIt, unless another looks so too, as in a
// journal of before likenesses were refused.
func TestAVesselIsFoundByWhatLooksLikeIt(t *testing.T) {
	s := newStory(t)
	s.vessel("CAX 1", Cask, 50)
	if v, ok := s.fold().FindVessel("сах  1"); !ok || v.Code != "CAX 1" {
		t.Errorf("found %v", v)
	}
	s.vessel("САХ 1", Cask, 50) // Cyrillic, and the fold takes it
	state := s.fold()
	for written, want := range map[string]string{"CAX 1": "CAX 1", "САХ 1": "САХ 1", "cax 1": "CAX 1"} {
		if v, ok := state.FindVessel(written); !ok || v.Code != want {
			t.Errorf("%q finds %v", written, v)
		}
	}
	if v, ok := state.FindVessel("cax  1"); ok {
		t.Errorf("of two that look alike, %s was chosen", v.Code)
	}
}

// TestOneGrainInAnySpelling adds up what is written in two ways.
func TestOneGrainInAnySpelling(t *testing.T) {
	s := newStory(t)
	s.record(&BatchFact{Batch: Batch{Name: "A", Grains: map[string]float64{"Rye": 0.75, "oat": 0.25}}})
	s.record(&BatchFact{Batch: Batch{Name: "B", Grains: map[string]float64{"rye": 1}}})
	shares := s.fold().GrainShares([]Part{{Batch: "A", EthanolMg: 100}, {Batch: "B", EthanolMg: 100}})
	if len(shares) != 2 || shares["Rye"] != 0.875 || shares["oat"] != 0.125 {
		t.Errorf("the shares are %v", shares)
	}
}

// TestHiddenCharactersAreRefused wherever they stand in an entry.
func TestHiddenCharactersAreRefused(t *testing.T) {
	for text, field := range map[string]string{
		"plain, with é, – and 木": "", "two\nlines\tand\r\n": "", `a \u0007 in words`: "", "<b>&": "", "\u200eמים": "",
		"\x07": "note", "\x1b[31m": "note", "evil\u202Etxt.exe": "note", "\u2067": "note", "\u0085": "note", "\x7f": "note",
	} {
		body, err := json.Marshal(&Note{About: VesselAccount("A"), Note: text})
		if err != nil {
			t.Fatal(err)
		}
		err = CheckWriting(body)
		if field == "" {
			if err != nil {
				t.Errorf("%q is refused: %v", text, err)
			}
			continue
		}
		wantProblem(t, err, field, "U+", "take it out")
	}
	wantProblem(t, CheckWriting([]byte("{\"scores\":[{\"of\u202E\":1}]}")), "scores", "U+202E")
}

// TestDaysThatSomebodyAsksAbout lie within a book's years.
func TestDaysThatSomebodyAsksAbout(t *testing.T) {
	if d, err := AskedDay("at", "2031-05-06"); err != nil || d.String() != "2031-05-06" {
		t.Errorf("%v, %v", d, err)
	}
	for text, words := range map[string]string{"0001-01-01": "1900 to 2200", "9999-12-31": "1900 to 2200", "soon": "YYYY-MM-DD", "": "YYYY-MM-DD"} {
		_, err := AskedDay("at", text)
		wantProblem(t, err, "at", words)
	}
}
