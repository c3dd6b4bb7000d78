package server_test

import (
	"net/http"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
)

// TestLabelsOfSampleBottles prints one as text for a label printer and looks
// for what is printed beside the code.
func TestLabelsOfSampleBottles(t *testing.T) {
	h := smallHouse(t)
	e := h.record(cellar.Request{When: today, Entry: "sample", Vessel: rye, StrengthPct: number(62), DrawnL: number(0.05)})
	if a := h.get("/book/" + e.ID); !strings.Contains(a.body, "sample="+e.ID) {
		t.Error("the entry of a sample offers no label for the bottle")
	}
	a := h.get("/labels/sheet?layout=roll-62&as=zpl&sample=" + e.ID)
	if a.status != http.StatusOK || !strings.Contains(a.body, rye) || !strings.Contains(a.body, "Taken 2026") {
		t.Errorf("status %d: %.300s", a.status, a.body)
	}
	draw := h.record(cellar.Request{When: today, Entry: "draw", Vessel: rye, VolumeL: number(0.5)})
	for _, id := range []string{"none", draw.ID} {
		if a := h.get("/labels/sheet?layout=roll-62&sample=" + id); a.status != notFound {
			t.Errorf("%s: status %d", id, a.status)
		}
	}
}
