package people_test

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"os"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/people"
)

// commonest is the list as it is carried, and what its README says of it.
func commonest(t *testing.T) (packed, list []byte, readme string) {
	t.Helper()
	packed, err := os.ReadFile("commonest/passwords.txt.gz")
	if err != nil {
		t.Fatal(err)
	}
	reader, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	if list, err = io.ReadAll(reader); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("commonest/README.md")
	if err != nil {
		t.Fatal(err)
	}
	return packed, list, string(text)
}

func TestTheListIsAsItCame(t *testing.T) {
	packed, list, readme := commonest(t)
	for what, data := range map[string][]byte{"passwords.txt.gz": packed, "passwords.txt": list} {
		sum := sha256.Sum256(data)
		if !strings.Contains(readme, "| "+what+" |") || !strings.Contains(readme, hex.EncodeToString(sum[:])) {
			t.Errorf("%s has the SHA-256 %x, which its README does not have", what, sum)
		}
	}
	if licence, err := os.ReadFile("commonest/LICENSE"); err != nil || !strings.Contains(string(licence), "Permission is hereby granted, free of charge") {
		t.Errorf("its licence is not beside it: %v", err)
	}
	if n := bytes.Count(list, []byte("\n")); n < 3000 {
		t.Errorf("it has %d passwords, fewer than 3000", n)
	}
}

// TestEveryCommonPasswordIsRefused tries a twentieth of those that are long enough.
func TestEveryCommonPasswordIsRefused(t *testing.T) {
	_, list, _ := commonest(t)
	h := newHome(t)
	tried := 0
	for i, line := range strings.Split(string(list), "\n") {
		if i%20 != 0 || len(line) < people.ShortestPassword {
			continue
		}
		tried++
		if err := h.Add("Ada", people.Owner, line); cellar.KindOf(err) != cellar.Invalid || !strings.Contains(err.Error(), "tried first") {
			t.Errorf("%q: %v", line, err)
		}
	}
	if tried < 50 {
		t.Errorf("only %d were tried", tried)
	}
}

func TestGuessablePasswords(t *testing.T) {
	h := newHome(t)
	h.Called("sandbrook")
	h.must(h.Add("Ada Marsh", people.Owner, password))
	for word, reason := range map[string]string{
		"Manchester":       "tried first",
		"strawberry2026!":  "tried first",
		"1986-Dragon-1986": "tried first",
		"dragonDragon":     "tried first",
		"Pass Word 123":    "tried first",
		"aaaaaaaaaaaa":     "tried first",
		"!!!!!!!!!!":       "tried first",
		"12345678910":      "tried first",
		"Ada Marsh 1":      "a name that everybody here knows",
		"marsh.marsh.2026": "a name that everybody here knows",
		"Croze-Sandbrook":  "a name that everybody here knows",
		"sandbrook 2026":   "a name that everybody here knows",
	} {
		err := h.SetPassword("Ada Marsh", word)
		if cellar.KindOf(err) != cellar.Invalid || !strings.Contains(err.Error(), "password: ") || !strings.Contains(err.Error(), reason) {
			t.Errorf("%q: %v", word, err)
		}
		if err != nil && strings.Contains(err.Error(), word) {
			t.Errorf("%q is said again: %v", word, err)
		}
	}
	h.signIn("Ada Marsh", password, "192.0.2.1") // nothing was changed
	for _, word := range []string{
		"a dragon in sandbrook", "seven wet herons", "маленький погреб", "%&/()=?!@#$", "3141592653589", "Ada kept the oat dry", "the cellar of manchester",
	} {
		if err := h.SetPassword("Ada Marsh", word); err != nil {
			t.Errorf("%q: %v", word, err)
		}
	}
}
