package server_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
)

// goWords are what only a programmer would understand.
var goWords = regexp.MustCompile(`cannot unmarshal|Go value|Go struct|float64|\bint\b|json:|parsing time|cellar\.|unexpected EOF|invalid character`)

// TestWrongJSONIsExplained: the answer names the field and the value in plain words.
func TestWrongJSONIsExplained(t *testing.T) {
	h := smallHouse(t)
	for body, want := range map[string]string{
		`{"entry":"sample","vessel":"RYE-1","strength_pct":"61"}`:  `strength_pct: is a text and should be a number`,
		`{"entry":"sample","vessel":"RYE-1","strength_pct":1e999}`: `strength_pct: is 1e999 and should be`,
		`{"entry":"sample","vessel":"RYE-1","strength_pct":[1]}`:   `strength_pct: is a list and should be a number`,
		`{"entry":7}`:                  `entry: is a number and should be a text`,
		`{"entry":"note","all":"yes"}`: `all: is a text and should be true or false`,
		`{"entry":"bottle","bottles":[{"size_l":0.5,"count":1.5}]}`: `count: is 1.5 and should be a whole number`,
		`{"entry":"blend","draws":{"from":"A"}}`:                    `draws: is an object and should be a list`,
		`{"entry":"sample","senses":{"scores":{"fruit":"much"}}}`:   `scores: is a text and should be a whole number`,
		`{"entry":"note","when":"yesterday"}`:                       `when: \"yesterday\": not a time`,
		`{"entry":"note","when":7}`:                                 `when: not a time`,
		`{"entry":"note","on":"2026-02-30"}`:                        `date: \"2026-02-30\": not a date`,
		`{"entry":"note","nota":"x"}`:                               `nota: is no field of an entry`,
		`{"entry":"note","` + strings.Repeat("x", 3000) + `":"x"}`:  `is no field of an entry`,
		`[]`:                                `it is a list and should be an object`,
		`7`:                                 `it is a number and should be an object`,
		`{"entry":"note"`:                   `the JSON ends before it is whole`,
		``:                                  `the JSON ends before it is whole`,
		`{"entry":note}`:                    `it is no JSON at byte`,
		`{"entry":"note"} {"entry":"note"}`: `something stands after its end`,
	} {
		a := h.unchanged(body, func() answer { return h.postJSON("/api/entries", body) })
		if a.status != unprocessable || !strings.Contains(a.body, want) || !strings.Contains(a.body, `"kind":"invalid"`) {
			t.Errorf("%.80s: status %d, want %q in %s", body, a.status, want, a.body)
		}
		if words := goWords.FindString(a.body); words != "" {
			t.Errorf("%.80s: the answer says %q: %s", body, words, a.body)
		}
		if len(a.body) > 500 {
			t.Errorf("%.80s: the answer is as long as %d bytes", body, len(a.body))
		}
	}
}

// TestEveryRefusalHasAKind, so that programs need not read the words.
func TestEveryRefusalHasAKind(t *testing.T) {
	h := smallHouse(t)
	long := strings.Repeat("W", 5000)
	for _, c := range []struct{ address, body, kind string }{
		{"/api/plan", `{}`, "invalid"},
		{"/api/plan", `not JSON`, "invalid"},
		{"/api/plan", `{"kind":"blend","target":{"volume_l":8,"strength_pct":46},"sources":[{"id":"NONE"}]}`, "not found"},
		{"/api/entries", `{"entry":"sample","vessel":"` + long + `"}`, "invalid"},
		{"/api/entries", `{"entry":"draw","vessel":"RYE-1","drawn_l":49}`, "refused"},
		{"/api/nowhere", `{}`, "not found"},
	} {
		a := h.postJSON(c.address, c.body)
		if !strings.Contains(a.body, `"kind":"`+c.kind+`"`) || len(a.body) > 1000 {
			t.Errorf("%s %.60s: status %d: %.1000s", c.address, c.body, a.status, a.body)
		}
	}
	form := h.post("/api/entries", []string{"entry", "note"})
	if form.status != http.StatusUnsupportedMediaType || !strings.Contains(form.body, `"kind":"invalid"`) {
		t.Errorf("a form: status %d: %s", form.status, form.body)
	}
	for _, address := range []string{"/api/stock?on=0001-01-01", "/api/forecast?at=9999-12-31", "/api/stock?known=2201-01-01"} {
		if a := h.get(address); a.status != unprocessable || !a.says("the year must be 1900 to 2200") {
			t.Errorf("%s: status %d: %s", address, a.status, a.body)
		}
	}
}
