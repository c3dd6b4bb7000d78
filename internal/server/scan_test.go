package server_test

import (
	"net/http"
	"net/url"
	"testing"

	"example.org/croze/internal/cellar"
)

// TestLabelsOfAnyServer finds what labels of an earlier address mean, and
// opens the addresses on labels, which are in capitals.
func TestLabelsOfAnyServer(t *testing.T) {
	h := smallHouse(t)
	lot := h.record(cellar.Request{When: today, Entry: "bottle", Vessel: rye, Lot: "Spring-1", Bottles: []cellar.Bottles{{SizeL: 0.5, Count: 4}}})
	sample := h.record(cellar.Request{When: today, Entry: "sample", Vessel: oat, StrengthPct: number(62)})
	for written, want := range map[string]string{
		"HTTPS://OLD.EXAMPLE/V/RYE-1":        "/v/RYE-1",
		"https://old.example/croze/v/rye-1":  "/v/RYE-1",
		"HTTPS://OLD.EXAMPLE/B/R1":           "/b/R1",
		"HTTPS://OLD.EXAMPLE/L/SPRING-1":     "/l/Spring-1",
		"HTTPS://OLD.EXAMPLE/S/" + sample.ID: "/book/" + sample.ID,
		"rye-1":                              "/v/RYE-1",
		"r1":                                 "/b/R1",
		"spring-1":                           "/l/Spring-1",
		"YE-1":                               "/vessels?find=YE-1",
		"HTTPS://OLD.EXAMPLE/X/RYE-1":        "/vessels?find=HTTPS%3A%2F%2FOLD.EXAMPLE%2FX%2FRYE-1",
		lot.ID:                               "/book/" + lot.ID,
	} {
		a := h.get("/find?code=" + url.QueryEscape(written))
		if to := a.header.Get("Location"); a.status != http.StatusSeeOther || to != want {
			t.Errorf("%s leads to %q (status %d), want %q", written, to, a.status, want)
		}
	}
	for _, address := range []string{"/V/RYE-1", "/B/R1", "/L/SPRING-1", "/v/rye-1"} {
		if a := h.get(address); a.status != http.StatusOK {
			t.Errorf("%s: status %d", address, a.status)
		}
	}
	if a := h.get("/S/" + sample.ID); a.header.Get("Location") != "/book/"+sample.ID {
		t.Errorf("a sample's label leads to %q", a.header.Get("Location"))
	}
	if a := h.get("/s/none"); a.status != notFound {
		t.Errorf("a label of no sample: status %d", a.status)
	}
}
