package server_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/identity"
)

// 24 bottles from a wish: planned, made at the vat, bottled, and traced back.
func TestFromWishToBottle(t *testing.T) {
	h := smallHouse(t)
	vat := h.keep(t, vatWish, "spring")
	if a := h.post(vat+"/made", h.makingOf(t, vat)); a.status != http.StatusSeeOther {
		t.Fatalf("the making: status %d", a.status)
	}
	a := h.get("/v/" + spare + "/bottling?size_ml_0=700&most_0=20&size_ml_1=200&gauged_pct=46.04&gauged_l=17.9&room_c=12&law=EU&only_water=1")
	for _, want := range []string{"20", "Heel", "46 % vol", "Fill at 12 °C", "may lack", "youngest part", "By grain", "By batch", "Within 0.3 % vol", "rye", "check with your authority"} {
		if !strings.Contains(strings.ToLower(a.body), strings.ToLower(want)) {
			t.Errorf("the bottling does not say %q", want)
		}
	}
	fields := []string{
		"id", a.field(t, "id"), "lot", a.field(t, "lot"), "label_pct", "46", "strength_pct", "46.04",
		"size_ml_0", "700", "count_0", "20", "size_ml_1", "200", "count_1", "4", "all", "1",
	}
	saved := h.post("/v/"+spare+"/bottling", fields)
	if saved.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", saved.status, saved.body)
	}
	h.unchanged("the same bottling again", func() answer { return h.post("/v/"+spare+"/bottling", fields) })
	lot, _, _ := strings.Cut(saved.header.Get("Location"), "?")
	name, err := url.PathUnescape(strings.TrimPrefix(lot, "/l/"))
	must(t, err)
	sheet := h.get("/labels/sheet?layout=roll-62&as=zpl&copies=24&lot=" + url.QueryEscape(name))
	if n := strings.Count(sheet.body, "^XA"); sheet.status != http.StatusOK || n != 24 {
		t.Errorf("the labels: status %d, %d of them", sheet.status, n)
	}
	page := h.get(lot)
	wants(t, page, "copies=24")
	for _, want := range []string{"20 × 0.7 L", "4 × 0.2 L", "46.0 % vol", "/b/R1", "/v/" + rye, "/v/" + oat, "/v/" + spare, "Blended from"} {
		if !page.says(want) {
			t.Errorf("the lot does not say %q", want)
		}
	}
}

// Every jurisdiction gives an age and its words, whatever is known.
func TestTheLawOfABottling(t *testing.T) {
	h := smallHouse(t)
	for _, law := range identity.Jurisdictions() {
		a := h.get("/v/" + rye + "/bottling?law=" + law.Code)
		if a.status != http.StatusOK || !a.says(law.Name) || !a.says(identity.Closing) {
			t.Errorf("%s: status %d", law.Code, a.status)
		}
	}
}

func TestBottlingsThatAreRefused(t *testing.T) {
	h := smallHouse(t)
	for query, want := range map[string]string{
		"size_ml_0=x": `"x"`, "size_ml_0=1": "size", "size_ml_0=700&most_0=-3": "below 0", "room_c=90": "90", "gauged_pct=146": "146",
		"lines_l=1000": "1000", "law=MOON": "MOON", "label=x": `"x"`,
	} {
		if a := h.get("/v/" + rye + "/bottling?" + query); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `class="problem"`) || !a.says(want) {
			t.Errorf("%s: status %d, and it does not say %q", query, a.status, want)
		}
	}
	if a := h.get("/v/" + spare + "/bottling"); a.status != http.StatusUnprocessableEntity || !a.says("nothing to bottle") {
		t.Errorf("an empty vessel: status %d", a.status)
	}
	if a := h.get("/v/NONE/bottling"); a.status != http.StatusNotFound {
		t.Errorf("an unknown vessel: status %d", a.status)
	}
	good := []string{"id", "", "lot", "A1", "label_pct", "60", "size_ml_0", "700", "count_0", "12"}
	for what, change := range map[string][]string{
		"no bottle": {"count_0", "0"}, "a word": {"count_0", "many"}, "below nothing": {"count_0", "-1"}, "no lot": {"lot", ""},
		"too many": {"count_0", "900"}, "a label beyond all": {"label_pct", "146"}, "a size of nothing": {"size_ml_0", "0"},
	} {
		a := h.unchanged(what, func() answer { return h.post("/v/"+rye+"/bottling", changed(good, change)) })
		if a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `class="problem"`) {
			t.Errorf("%s: status %d", what, a.status)
		}
	}
	if a := h.post("/v/"+rye+"/bottling", good); a.status != http.StatusSeeOther {
		t.Errorf("the good one: status %d", a.status)
	}
	a := h.unchanged("a lot code that is in use", func() answer { return h.post("/v/"+rye+"/bottling", good) })
	if a.status != http.StatusUnprocessableEntity || !a.says("A1") {
		t.Errorf("a lot code that is in use: status %d", a.status)
	}
}

// The page of a lot of the demo leads back to every batch, vessel and sample
// that the book has on the way.
func TestADemoLotLeadsBack(t *testing.T) {
	h := demoHouse(t)
	must(t, h.book.See(book.Moment{}, func(v *book.View) error {
		for _, lot := range v.Lots() {
			page := h.get("/l/" + url.PathEscape(lot.Name))
			trace := v.Trace(cellar.LotAccount(lot.Name))
			if len(trace.Batches) == 0 || len(trace.Stays) < 2 {
				t.Errorf("%s leads to %d batches and %d vessels", lot.Name, len(trace.Batches), len(trace.Stays))
			}
			for _, batch := range trace.Batches {
				wants(t, page, fmt.Sprintf(`href="/b/%s"`, (&url.URL{Path: batch}).EscapedPath()))
			}
			for _, stay := range trace.Stays {
				wants(t, page, `href="/v/`+stay.Vessel+`"`)
				for _, line := range stay.Lines {
					wants(t, page, `href="/book/`+line.ID+`"`)
				}
			}
		}
		return nil
	}))
}

func wants(t *testing.T, page answer, text string) {
	t.Helper()
	if !strings.Contains(page.body, text) {
		t.Errorf("the page has no %s", text)
	}
}
