package server_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
)

// period is the query of the statement of the small house's first months.
const period = "from=2025-11-01&to=2025-12-31&of=all"

func TestStatementPage(t *testing.T) {
	h := smallHouse(t)
	for _, words := range []string{"All spirit in the store", "Made and not yet filled", "Filled into vessels", "25.200", "the law of the place decides what is due", "Close 2025-11-01 to 2025-12-31"} {
		if a := h.get("/book/statement?" + period); a.status != http.StatusOK || !a.says(words) {
			t.Errorf("status %d, and it does not say %q", a.status, words)
		}
	}
	if a := h.get("/book/statement"); a.status != http.StatusOK || !a.says("2025-01-01 to 2025-12-31") {
		t.Errorf("without a period: status %d, not the last whole year", a.status)
	}
	if a := h.get("/book/statement?from=2025-11-01&to=2025-12-31&codes=rye-1,+oat-1"); a.status != http.StatusOK || !a.says("2 vessels") || a.says("Made and not yet filled") {
		t.Errorf("of two vessels: status %d", a.status)
	}
	for _, bad := range []string{"from=2025-13-01&to=2025-12-31", "from=2025-12-31&to=2025-11-01", "from=2025-11-01&to=2031-01-01", "from=2025-11-01&to=2025-12-31&codes=NONE", "from=2025-11-01&to=2025-12-31&of=kind:bucket"} {
		if a := h.get("/book/statement?" + bad); a.status < 400 || a.status >= 500 || !a.says("Not done.") {
			t.Errorf("%s: status %d", bad, a.status)
		}
	}
	if a := h.get("/book/statement/file?as=doc&" + period); a.status != http.StatusUnprocessableEntity {
		t.Errorf("a file of another kind: status %d", a.status)
	}
	for as, begins := range map[string]string{"csv": "from,to,vessels,", "xlsx": "PK", "pdf": "%PDF", "json": `{"from":"2025-11-01"`} {
		a := h.get("/book/statement/file?as=" + as + "&" + period)
		if a.status != http.StatusOK || !strings.HasPrefix(a.body, begins) || !strings.Contains(a.header.Get("Content-Disposition"), "statement-2025-11-01-2025-12-31."+as) {
			t.Errorf("%s: status %d, %.20q, %v", as, a.status, a.body, a.header)
		}
	}
}

// A period closes from its page only when that is confirmed; a late entry shows
// in the next; taken back from its own page, it is open again.
func TestClosingFromThePage(t *testing.T) {
	h := smallHouse(t)
	asked := []string{"from", "2025-11-01", "to", "2025-12-31", "of", "all", "codes", "", "note", "with the auditor", "id", h.book.NewID()}
	if a := h.unchanged("unconfirmed", func() answer { return h.post("/book/statement/close", asked) }); a.status != http.StatusUnprocessableEntity || !a.says("tick that the figures were looked at") {
		t.Errorf("unconfirmed: status %d", a.status)
	}
	for range 2 { // sent twice it is one closing
		if a := h.post("/book/statement/close", append(asked, "sure", "1")); a.status != http.StatusSeeOther {
			t.Fatalf("confirmed: status %d: %s", a.status, a.body)
		}
	}
	if a := h.get("/book/statement?" + period); !a.says("these are the figures of the closing") || !a.says("Nothing found out since") || a.says("Close 2025-11-01 to 2025-12-31") {
		t.Error("the closed period is not shown as closed")
	}
	late := h.record(cellar.Request{When: today.AddDate(0, 0, -350), Entry: "draw", Vessel: rye, VolumeL: number(1), StrengthPct: number(63)})
	if a := h.get("/book/statement?" + period); !a.says("Found out after a closing") || !a.says(late.ID) || !a.says("As it would be with what was found out since") {
		t.Error("the closed period does not show the late entry")
	}
	next := "/book/statement?from=2026-01-01&to=2026-06-30&of=all"
	if a := h.get(next); !a.says("Adjustments for closed periods") || !a.says("-0.630") {
		t.Error("the next period has no adjustment of 0.63 L")
	}
	if a := h.get("/book/statement?from=2025-12-01&to=2026-01-31"); !a.says("It has days of closed periods") {
		t.Error("a statement across the closing does not say so")
	}
	if a := h.get("/book/" + late.ID); !a.says("taking it back will show as an adjustment") || !a.says("What it changed") || !a.says("Drawn") || !a.says("0.630") {
		t.Error("the late entry does not show what it changed")
	}
	if a := h.get(next + "&known=2026-11-24"); a.says("Adjustments for closed periods") || a.says("Close 2026-01-01") {
		t.Error("as known yesterday there is an adjustment, or it can be closed")
	}
	closing := closingOf(h)
	if a := h.post("/book/"+closing+"/void", []string{"reason", "too early"}); a.status != http.StatusSeeOther {
		t.Errorf("taking the closing back: status %d", a.status)
	}
	if a := h.get(next); a.says("Adjustments for closed periods") {
		t.Error("open again, the next period still adjusts")
	}
}

// closingOf is the ID of the closing in the list of the statement page.
func closingOf(h house) string {
	h.t.Helper()
	body := h.get("/book/statement?" + period).body
	_, after, found := strings.Cut(body, `Closed by <a href="/book/`)
	id, _, ended := strings.Cut(after, `"`)
	if !found || !ended {
		h.t.Fatalf("no closing is shown")
	}
	return id
}

func TestLimitsAndExplanationsFromThePages(t *testing.T) {
	h := smallHouse(t)
	h.record(cellar.Request{When: today.AddDate(0, 0, -30), Entry: "sample", Vessel: rye, VolumeL: number(36), StrengthPct: number(62.5)})
	year := "from=2026-01-01&to=2026-11-01&of=all"
	if a := h.get("/book/statement?" + year); !a.says("No limit is set") && !strings.Contains(a.body, "/book/limits") {
		t.Error("it does not lead to the limits")
	}
	if a := h.post("/book/limits", []string{"id", h.book.NewID(), "kind", "cask", "pct_per_year", "1"}); a.status != http.StatusSeeOther {
		t.Fatalf("a limit: status %d", a.status)
	}
	for _, bad := range [][]string{{"kind", "cask", "pct_per_year", "-1"}, {"kind", "cask", "pct_per_year", "x"}, {"kind", "bucket", "pct_per_year", "2"}} {
		if a := h.unchanged("a bad limit", func() answer { return h.post("/book/limits", bad) }); a.status != http.StatusUnprocessableEntity {
			t.Errorf("%v: status %d", bad, a.status)
		}
	}
	a := h.get("/book/statement?" + year)
	if !a.says("Not explained.") || !a.says("the limit is 1 %") {
		t.Errorf("the loss is not listed: status %d", a.status)
	}
	said := []string{"from", "2026-01-01", "to", "2026-11-01", "of", "all", "codes", "", "vessel", rye, "words", "a stave was <split>"}
	if a := h.post("/book/statement/explain", said); a.status != http.StatusSeeOther || !strings.Contains(a.header.Get("Location"), url.QueryEscape("2026-11-01")) {
		t.Errorf("an explanation: status %d", a.status)
	}
	if a := h.get("/book/statement?" + year); !strings.Contains(a.body, "a stave was &lt;split&gt;") || a.says("Not explained.") {
		t.Error("the words are not shown")
	}
	said[len(said)-1] = ""
	if a := h.unchanged("no words", func() answer { return h.post("/book/statement/explain", said) }); a.status != http.StatusUnprocessableEntity {
		t.Errorf("no words: status %d", a.status)
	}
}

func TestRinseFromThePage(t *testing.T) {
	h := smallHouse(t)
	h.record(cellar.Request{When: today.AddDate(0, 0, -10), Entry: "empty", Vessel: rye, VolumeL: number(37), StrengthPct: number(62)})
	if a := h.get("/v/" + rye + "/log/rinse"); a.status != http.StatusOK || !a.says("What came out went into") || !a.says("By the books its wood holds 1.") {
		t.Errorf("the form: status %d", a.status)
	}
	if a := h.post("/v/"+rye+"/log/rinse", []string{"volume_l", "2", "strength", "9", "scale", "corrected", "into", ""}); a.status != http.StatusSeeOther {
		t.Errorf("status %d: %s", a.status, a.body)
	}
	if a := h.get("/v/" + rye); !a.says("Rinsed: 2.00 L at 9.0 % vol came out and was drawn") {
		t.Error("the vessel's history does not show it")
	}
}
