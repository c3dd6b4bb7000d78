package server_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
)

var cupCodes = regexp.MustCompile(`<small>had ([0-9 ]+)</small>`)

// A blind test through the pages: drawn up, printed, answered, scored.
func TestATastingThroughThePages(t *testing.T) {
	h := smallHouse(t)
	fields := []string{"name", "cask or jar", "test", "triangle", "samples", "rye-1\nOAT-1", "tasters", "Cooper\nMiller\nCarter", "alpha", "5", "able", "50", "beta", "20"}
	a := h.post("/tastings", fields)
	where := a.header.Get("Location")
	if a.status != http.StatusSeeOther || !strings.HasPrefix(where, "/tastings/") {
		t.Fatalf("status %d to %q: %s", a.status, where, a.body)
	}
	page := h.get(where)
	if !page.says("Nobody has answered yet") || !page.says("finding nothing will mean little") {
		t.Error("the page does not say how it stands")
	}
	sheets := h.get(where + "/sheets")
	for _, want := range []string{"Key for who pours", "Cooper", "Miller", "name the odd one", "A is RYE-1. B is OAT-1."} {
		if !sheets.says(want) {
			t.Errorf("the sheets do not say %q", want)
		}
	}
	served := cupCodes.FindAllStringSubmatch(page.body, -1)
	if len(served) != 3 {
		t.Fatalf("%d tasters were served", len(served))
	}
	first := strings.Fields(served[0][1])[0]
	if a := h.post(where+"/answers", []string{"answer_0", first, "answer_1", ""}); a.status != http.StatusSeeOther || a.header.Get("Location") != where+"?done=saved" {
		t.Fatalf("status %d to %q: %s", a.status, a.header.Get("Location"), a.body)
	}
	after := h.get(where)
	if !after.says("right of 1") || !after.says("p = ") {
		t.Error("one answer is not scored")
	}
	for want, said := range map[string]string{"is no cup that": "7", "not the number": "left", "names 2 cups": served[1][1][:7]} {
		a := h.unchanged(want, func() answer { return h.post(where+"/answers", []string{"answer_1", said}) })
		if a.status/100 != 4 || !a.says(want) || !a.says(said) {
			t.Errorf("%q: status %d, and it does not say %q", said, a.status, want)
		}
	}
	if a := h.post("/tastings/none/answers", []string{"answer_0", "1"}); a.status != http.StatusNotFound {
		t.Errorf("answers to nothing: status %d", a.status)
	}
}

func TestTastingFormsRefuse(t *testing.T) {
	h := smallHouse(t)
	for want, fields := range map[string][]string{
		"name two":        {"name", "x", "test", "triangle", "samples", rye, "tasters", "a"},
		"not a test":      {"name", "x", "test", "guess", "samples", rye + "\n" + oat, "tasters", "a"},
		"name 1 to":       {"name", "x", "test", "triangle", "samples", rye + "\n" + oat},
		"alpha":           {"name", "x", "test", "triangle", "samples", rye + "\n" + oat, "tasters", "a", "alpha", "500"},
		"no vessel, batc": {"name", "x", "test", "triangle", "samples", rye + "\nNONE", "tasters", "a"},
	} {
		a := h.unchanged(want, func() answer { return h.post("/tastings", fields) })
		if a.status/100 != 4 || !a.says(want) {
			t.Errorf("%v: status %d, and it does not say %q", fields, a.status, want)
		}
	}
	if a := h.get("/tastings?test=triangle&alpha=5&beta=20&able=30"); a.status != http.StatusOK || !a.says("answers</strong> are needed") {
		t.Errorf("needed answers: status %d", a.status)
	}
	if a := h.get("/tastings?test=triangle&able=many"); a.status != http.StatusUnprocessableEntity || !a.says("able") {
		t.Errorf("needed answers of nonsense: status %d", a.status)
	}
	if a := h.post("/tastings/scores", []string{"vessel", rye, "taster", "Miller", "scores", "fruit 4, wood 6"}); a.status != http.StatusSeeOther {
		t.Errorf("scores: status %d: %s", a.status, a.body)
	}
	if a := h.get("/tastings"); !a.says("fruit") || !a.says(rye) {
		t.Error("the scores are not shown")
	}
	bad := h.unchanged("a score of 11", func() answer {
		return h.post("/tastings/scores", []string{"vessel", rye, "taster", "Miller", "scores", "fruit 11"})
	})
	if bad.status/100 != 4 || !bad.says("must be 0 to 10") {
		t.Errorf("a score of 11: status %d", bad.status)
	}
	if a := h.post("/tastings/words", []string{"words", "smoke\nfruit"}); a.status != http.StatusSeeOther {
		t.Errorf("words: status %d", a.status)
	}
	if a := h.post("/tastings/words", []string{"words", "smoke\nsmoke"}); a.status/100 != 4 || !a.says("twice") {
		t.Errorf("words twice: status %d", a.status)
	}
}
