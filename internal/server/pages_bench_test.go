package server_test

import (
	"net/http"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// BenchmarkPages times the handler of every page of the demo after the first
// request; each should take less than 20 ms.
func BenchmarkPages(b *testing.B) {
	h := demoHouse(b)
	for route, address := range h.names().addresses() {
		b.Run(route, func(b *testing.B) {
			h.t = b
			h.get(address)
			for b.Loop() {
				if a := h.get(address); a.status != http.StatusOK {
					b.Fatalf("status %d", a.status)
				}
			}
		})
	}
}

// BenchmarkPagesAfterAnEntry times the handler of pages of the demo when
// something was written down since they were last made.
func BenchmarkPagesAfterAnEntry(b *testing.B) {
	h := demoHouse(b)
	note := book.Submission{Who: "hand", Request: cellar.Request{When: today, Entry: "note", Vessel: h.names().filled, Note: "sound"}}
	for _, address := range []string{"/", "/vessels", "/review", "/review/ready", "/rounds", "/bench", "/book", "/book/statement"} {
		b.Run(address, func(b *testing.B) {
			h.t = b
			for b.Loop() {
				b.StopTimer()
				_, err := h.book.Record(note)
				must(b, err)
				b.StartTimer()
				if a := h.get(address); a.status != http.StatusOK {
					b.Fatalf("status %d", a.status)
				}
			}
		})
	}
}
