package server_test

import (
	"net/http"
	"net/url"
	"testing"
)

func TestNamesPages(t *testing.T) {
	h := demoHouse(t)
	n := h.names()
	for _, address := range []string{"/v/" + n.filled + "/names", "/l/" + url.PathEscape(n.lot) + "/names"} {
		a := h.get(address + "?made_in=CA&additives=yes&charred=no&distilled_pct=72&said_0=yes")
		if a.status != http.StatusOK {
			t.Fatalf("%s: status %d", address, a.status)
		}
		for _, want := range []string{"check with your authority", "Age on the label", "United States", "European Union", "from memory"} {
			if !a.says(want) {
				t.Errorf("%s does not say %q", address, want)
			}
		}
	}
	for query, want := range map[string]string{"distilled_pct=much": "distilled_pct", "charred=perhaps": "yes or no", "bottling_pct=140": "0 to 100", "said_0=x": "yes or no"} {
		if a := h.get("/v/" + n.filled + "/names?" + query); a.status != http.StatusUnprocessableEntity || !a.says(want) {
			t.Errorf("%s: status %d, and it does not say %q", query, a.status, want)
		}
	}
	for _, address := range []string{"/v/NONE/names", "/l/none/names", "/plans/none/names"} {
		if a := h.get(address); a.status != http.StatusNotFound {
			t.Errorf("%s: status %d", address, a.status)
		}
	}
	if a := h.get("/v/" + n.empty + "/names"); a.status != http.StatusUnprocessableEntity || !a.says("nothing to name") {
		t.Errorf("an empty vessel: status %d", a.status)
	}
}
