package server_test

import (
	"html"
	"net/http"
	"regexp"
	"testing"

	"example.org/croze/internal/cellar"
)

// TestNamesThatAddressesDoNotLike follows the links to a vessel and a batch whose
// names hold what has a meaning in an address.
func TestNamesThatAddressesDoNotLike(t *testing.T) {
	h := smallHouse(t)
	const code, batch = "ST/12.5 B", "Rye #3, 50%25? 2024/1"
	must(t, h.book.RegisterNewBatch("", "Bo", cellar.Batch{Name: batch, StrengthPct: 62}, nil))
	_, err := h.book.RegisterVessel("", "Bo", cellar.Vessel{Code: code, Kind: cellar.Tank, CapacityL: 50})
	must(t, err)
	h.record(cellar.Request{When: today, Entry: "fill", Vessel: code, From: batch, VolumeL: number(40), StrengthPct: number(62)})

	for list, name := range map[string]string{"/vessels": code, "/spirits": batch} {
		found := regexp.MustCompile(`href="(/[vb]/[^"]*)">` + regexp.QuoteMeta(html.EscapeString(name)) + `<`).FindStringSubmatch(h.get(list).body)
		if found == nil {
			t.Fatalf("%s has no link to %q", list, name)
		}
		page := h.get(html.UnescapeString(found[1]))
		if page.status != http.StatusOK {
			t.Errorf("%s leads to %s: status %d", list, found[1], page.status)
		}
		for _, link := range regexp.MustCompile(`href="(/v/[^"]*)"`).FindAllStringSubmatch(page.body, -1) {
			if a := h.get(html.UnescapeString(link[1])); a.status != http.StatusOK {
				t.Errorf("%s leads to %s: status %d", found[1], link[1], a.status)
			}
		}
	}
	saved := h.post("/v/ST%2F12.5%20B/log/note", []string{"note", "seen"})
	if saved.status != http.StatusSeeOther || h.get(saved.header.Get("Location")).status != http.StatusOK {
		t.Errorf("a note: status %d, then %s", saved.status, saved.header.Get("Location"))
	}
}

// TestAnEscapedAddressIsNoWayIn asks for the owner's pages in another spelling.
func TestAnEscapedAddressIsNoWayIn(t *testing.T) {
	s := staffedHouse(t)
	for _, path := range []string{"/%70eople", "/people%2F", "/book%2Fexport"} {
		if a := s.get(path, "Cookie", s.reader); a.status != http.StatusNotFound && a.status != http.StatusForbidden {
			t.Errorf("%s: status %d", path, a.status)
		}
	}
}
