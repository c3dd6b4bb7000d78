package cellar

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The example of the Global Release Identifier standard (its check character
// is by ISO/IEC 7064 MOD 37,36), A1-2425G-ABC1234002-M: from memory.
func TestCheckCharacterOfPublishedExample(t *testing.T) {
	got, err := CheckCharacter("A12425GABC1234002")
	if err != nil || got != 'M' {
		t.Fatalf("check character of A1-2425G-ABC1234002 is %q (%v), published M", got, err)
	}
}

func TestCheckCharacterRefusesOtherCharacters(t *testing.T) {
	for _, s := range []string{"", "a1", "A-1", "Ü"} {
		if c, err := CheckCharacter(s); err == nil {
			t.Errorf("%q got check character %q, want an error", s, c)
		}
	}
}

// Every single wrong character is what the standard promises to find; all are
// tried for each drawn string.
func TestCheckCharacterFindsSingleSlips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		payload := rapid.StringMatching(`[0-9A-Z]{1,20}`).Draw(t, "payload")
		check, err := CheckCharacter(payload)
		if err != nil {
			t.Fatal(err)
		}
		whole := payload + string(check)
		for i := range whole {
			for _, c := range []byte(checkAlphabet) {
				if slip := whole[:i] + string(c) + whole[i+1:]; slip != whole && passes(slip) {
					t.Fatalf("%s passes for %s", slip, whole)
				}
			}
		}
	})
}

// Of swaps of neighbours the hybrid system finds nearly all: whatever comes
// before, one pair of the 630 gives the same product both ways round.
func TestCheckCharacterFindsNearlyAllSwaps(t *testing.T) {
	for product := 1; product <= checkModulus; product++ {
		missed := 0
		for a := range checkModulus {
			for b := range a {
				if checkStep(checkStep(product, a), b) == checkStep(checkStep(product, b), a) {
					missed++
				}
			}
		}
		if missed != 1 {
			t.Errorf("after product %d, %d of 630 swaps are missed, want 1", product, missed)
		}
	}
}

func TestSwapsInIssuedCodesNeverReadAsAnother(t *testing.T) {
	for n := range uint64(60_000) {
		bare := strings.ReplaceAll(IssueCode(n), "-", "")
		for i := range len(bare) - 1 {
			swapped := bare[:i] + bare[i+1:i+2] + bare[i:i+1] + bare[i+2:]
			if got, own, err := ParseCode(swapped); swapped != bare && own && err == nil {
				t.Fatalf("%s, a swap in %s, reads as %s", swapped, bare, got)
			}
		}
	}
}

func passes(s string) bool {
	check, err := CheckCharacter(s[:len(s)-1])
	return err == nil && check == s[len(s)-1]
}

func TestIssuedCodesAreDistinctShortAndReadBack(t *testing.T) {
	const count = 120_000
	seen := make(map[string]uint64, count)
	short := 0
	for n := range uint64(count) {
		code := IssueCode(n)
		if before, twice := seen[code]; twice {
			t.Fatalf("codes %d and %d are both %s", before, n, code)
		}
		seen[code] = n
		if len(code) == 7 {
			short++
		}
		if strings.ContainsAny(code, "0O1ILZSGBUVNQ") {
			t.Fatalf("code %d is %s: holds a character that is easily confused", n, code)
		}
		if got, own, err := ParseCode(code); got != code || !own || err != nil {
			t.Fatalf("%s reads back as %q, own %v, %v", code, got, own, err)
		}
	}
	if short < 50_000 {
		t.Errorf("only %d codes are of seven characters", short)
	}
}

func TestIssuedCodesAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Uint64Max(6e18).Draw(t, "n")
		code := IssueCode(n)
		if got, own, err := ParseCode(code); got != code || !own || err != nil {
			t.Fatalf("code %d, %s, reads back as %q, own %v, %v", n, code, got, own, err)
		}
		m := rapid.Uint64Max(6e18).Draw(t, "m")
		if n != m && IssueCode(m) == code {
			t.Fatalf("codes %d and %d are both %s", n, m, code)
		}
	})
}

// Vessels filled one after the other should not carry codes that one slip
// turns into each other.
func TestNeighboursDoNotLookAlike(t *testing.T) {
	for n := range uint64(5_000) {
		a, b := IssueCode(n), IssueCode(n+1)
		same := 0
		for i := range a {
			if a[i] == b[i] {
				same++
			}
		}
		if same > 4 { // of seven, the dash always
			t.Fatalf("codes %d and %d look alike: %s, %s", n, n+1, a, b)
		}
	}
}

func TestParseCodeInAnyDress(t *testing.T) {
	code := IssueCode(7)
	bare := strings.ReplaceAll(code, "-", "")
	for _, typed := range []string{code, bare, strings.ToLower(code), strings.ToLower(bare), "  " + code + "\t", strings.ReplaceAll(code, "-", " ")} {
		if got, own, err := ParseCode(typed); got != code || !own || err != nil {
			t.Errorf("%q reads as %q, own %v, %v; want %q", typed, got, own, err, code)
		}
	}
}

// A slip is refused, or (where it leaves the book's own form) taken for a code
// of another form; it never reads as another vessel's own code.
func TestSlipsInIssuedCodes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		code := IssueCode(rapid.Uint64Max(2_000_000).Draw(t, "n"))
		i := rapid.IntRange(0, len(code)-1).Draw(t, "place")
		c := rapid.SampledFrom([]byte(checkAlphabet)).Draw(t, "character")
		slip := code[:i] + string(c) + code[i+1:]
		if slip == code || code[i] == '-' {
			return
		}
		if got, own, err := ParseCode(slip); own && err == nil {
			t.Fatalf("%s, a slip of %s, reads as %s", slip, code, got)
		}
	})
}

func TestWrongCheckCharacterIsRefused(t *testing.T) {
	code := IssueCode(3)
	for _, c := range []byte(checkAlphabet) {
		typed := code[:len(code)-1] + string(c)
		_, own, err := ParseCode(typed)
		if typed == code {
			continue
		}
		var p *Problem
		if !own || !errors.As(err, &p) || p.Kind != Invalid || p.Field != "code" || p.Value != typed {
			t.Errorf("%s: own %v, %v; want an invalid code, named", typed, own, err)
		}
	}
}

func TestOrdinaryCodesAreTakenAsTheyAre(t *testing.T) {
	for _, typed := range []string{
		"C1", "CASK-01", "A", "B12", "RYE-2020-1", "V001", "2020-1", "R1T2A", "12", "123456", "ABCDEF",
		"B1A23C", "rye 12/3", "Fût_4", "a.b", "18-112", "2019/044", "T4", "HL-200", "7K4M2", "Jar 3",
	} {
		if got, own, err := ParseCode(" " + typed + " "); got != typed || own || err != nil {
			t.Errorf("%q reads as %q, own %v, %v; want it as typed", typed, got, own, err)
		}
	}
}

func TestParseCodeRefuses(t *testing.T) {
	cases := map[string]string{
		"":                       "empty",
		" \t ":                   "empty",
		"A\x00B":                 `holds '\x00'`,
		"A\nB":                   `holds '\n'`,
		"<b>":                    `holds '<'`,
		"A,B":                    `holds ','`,
		"..":                     "no letter or digit",
		"\xff":                   "UTF-8",
		strings.Repeat("A", 41):  "longer than 40",
		"A\u202eB":               `holds '\u202e'`,
		strings.Repeat("Ä", 50):  "longer than 40",
		strings.Repeat("7K", 21): "longer than 40",
	}
	for typed, reason := range cases {
		got, own, err := ParseCode(typed)
		if err == nil || got != "" || own || !strings.Contains(err.Error(), reason) {
			t.Errorf("%q reads as %q, own %v, %v; want an error saying %q", typed, got, own, err, reason)
		}
	}
	if _, _, err := ParseCode(strings.Repeat("Ä", 40)); err != nil {
		t.Errorf("40 characters are allowed: %v", err)
	}
}

func FuzzParseCode(f *testing.F) {
	f.Add(IssueCode(0))
	f.Add("rye 12/3")
	f.Fuzz(func(t *testing.T, typed string) {
		got, own, err := ParseCode(typed)
		if err != nil {
			return
		}
		again, ownAgain, err := ParseCode(got)
		if again != got || own != ownAgain || err != nil {
			t.Fatalf("%q reads as %q, which reads as %q (%v)", typed, got, again, err)
		}
	})
}

func ExampleIssueCode() {
	for n := range uint64(4) {
		fmt.Println(IssueCode(n))
	}
	// Output:
	// 2A2-A2C
	// 6Y3-R5T
	// 3X6-H57
	// 8W8-W75
}
