package server_test

import (
	"encoding/json"
	"net/http"
	"testing"
	"time"

	"example.org/croze/internal/book"
)

// FuzzEntries sends entries whose parts are chosen one by one, so that most are
// nearly right. Whatever is sent is answered in JSON with words, never as an inner
// fault, and what is saved holds.
func FuzzEntries(f *testing.F) {
	for _, seed := range []struct {
		kind, vessel, from, note string
		volume, strength, drawn  float64
		hours                    int64
	}{
		{"sample", rye, "", "clear", 0, 61.2, 0.05, 2},
		{"draw", oat, "", "", 0.5, 60, 0, 1},
		{"fill", spare, "R1", "", 10, 63, 0, 5},
		{"transfer", spare, rye, "", 3, 62, 0, 3},
		{"void", "", "", "\u2028", -1, 1e308, 5e-324, -1},
		{"bottle", rye, "batch:R1", "x", 1e9, -0.1, 1e-9, 1 << 40},
	} {
		f.Add(seed.kind, seed.vessel, seed.from, seed.note, seed.volume, seed.strength, seed.drawn, seed.hours)
	}
	f.Fuzz(func(t *testing.T, kind, vessel, from, note string, volume, strength, drawn float64, hours int64) {
		h := smallHouse(t)
		body, err := json.Marshal(map[string]any{
			"entry": kind, "vessel": vessel, "from": from, "note": note, "void": from, "sure": true,
			"volume_l": volume, "strength_pct": strength, "drawn_l": drawn,
			"when": today.Add(-time.Duration(hours%(24*300)) * time.Hour),
		})
		if err != nil {
			return // no JSON has such a number
		}
		for _, address := range []string{"/api/preview", "/api/entries"} {
			a := h.postJSON(address, string(body))
			if !json.Valid([]byte(a.body)) || a.status >= http.StatusInternalServerError {
				t.Fatalf("%s: status %d: %s", address, a.status, a.body)
			}
		}
		if found, err := book.Verify(h.kept); err != nil || found.Problem != "" {
			t.Fatalf("%v, %s", err, found.Problem)
		}
	})
}
