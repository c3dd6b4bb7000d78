package server_test

import (
	"net/http"
	"testing"
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
