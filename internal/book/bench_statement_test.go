package book_test

import (
	"testing"

	"example.org/croze/internal/book"
)

// BenchmarkStatement makes a year's statement of the demo's whole store, with
// the estimate worked out before.
func BenchmarkStatement(b *testing.B) {
	h := demoHouse(b)
	year := h.period("2025-01-01", "2025-12-31")
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		if _, err := v.Statement(year, nil); err != nil {
			return err
		}
		for b.Loop() {
			if _, err := v.Statement(year, nil); err != nil {
				return err
			}
		}
		return nil
	}))
}
