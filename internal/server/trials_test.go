package server_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

func TestTrialsPages(t *testing.T) {
	h := smallHouse(t)
	if a := demoHouse(t).get("/trials"); !a.says("There for the asking") || !a.says("they differ in") {
		t.Error("vessels filled from one run within days are not proposed")
	}
	a := h.post("/trials", []string{"name", "cask and jar", "vessels", "rye-1, oat-1", "question", "which is darker?"})
	where := a.header.Get("Location")
	if a.status != http.StatusSeeOther || !strings.HasPrefix(where, "/trials/") {
		t.Fatalf("status %d, to %q", a.status, where)
	}
	page := h.get(where)
	for _, want := range []string{"cask and jar", "which is darker?", rye, oat, "Day by day in wood", "Strength by days in wood"} {
		if !page.says(want) {
			t.Errorf("the trial does not say %q", want)
		}
	}
	for want, fields := range map[string][]string{
		"2 to 12":        {"name", "x", "vessels", rye},
		"no such vessel": {"name", "x", "vessels", rye + " NONE"},
		"named twice":    {"name", "x", "vessels", rye + " " + rye},
		"has no name":    {"name", "", "vessels", rye + " " + oat},
	} {
		a := h.unchanged(want, func() answer { return h.post("/trials", fields) })
		if a.status/100 != 4 || !a.says(want) {
			t.Errorf("%v: status %d, and it does not say %q", fields, a.status, want)
		}
	}
	if a := h.get("/trials/none"); a.status != http.StatusNotFound {
		t.Errorf("a trial that is not there: status %d", a.status)
	}
	withEmpty := h.post("/trials", []string{"name", "with an empty one", "vessels", rye + " " + spare}).header.Get("Location")
	if a := h.get(withEmpty); a.status != http.StatusOK || !a.says("nothing to compare") {
		t.Errorf("a trial with an empty vessel: status %d", a.status)
	}
}

func TestWarmTrialsPage(t *testing.T) {
	h := smallHouse(t)
	good := []string{"name", "W1", "from", "R1", "volume_l", "0.5", "hours", "72", "temp_c", "45", "wood", "oak", "wood_area_cm2", "40", "scores", "wood 8, fruit: 3"}
	if a := h.post("/trials/warm", good); a.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", a.status, a.body)
	}
	if a := h.get("/trials"); !a.says("W1") || !a.says(`<span class="pair">fruit 3</span> <span class="pair">wood 8</span>`) || !a.says(`data-label="cm² a litre">80</td>`) {
		t.Error("the warm trial is not shown, with 80 cm² a litre")
	}
	for want, change := range map[string][2]string{
		"temp_c":    {"temp_c", "95"},
		"hours":     {"hours", "0"},
		"scores":    {"scores", "lovely"},
		"volume_l":  {"volume_l", "half"},
		"no vessel": {"from", "nothing"},
	} {
		fields := append(append([]string{}, good...), change[0], change[1])
		values := url.Values{}
		for i := 0; i < len(fields); i += 2 {
			values.Set(fields[i], fields[i+1])
		}
		var again []string
		for field := range values {
			again = append(again, field, values.Get(field))
		}
		a := h.unchanged(want, func() answer { return h.post("/trials/warm", again) })
		if a.status/100 != 4 || !a.says(want) {
			t.Errorf("%v: status %d, and it does not say %q", change, a.status, want)
		}
	}
}
