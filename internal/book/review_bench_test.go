package book_test

import (
	"testing"

	"example.org/croze/internal/book"
)

// vesselsOfABench is a store far larger than any that this is made for.
const vesselsOfABench = 100_000

// BenchmarkStockTable times pages of the stock table at 100 000 vessels: the
// first of all, by the books, while the estimator reads the stock in the
// background; then sorted, filtered and grouped. Each should take under 100 ms
// but the first, which makes the table.
func BenchmarkStockTable(b *testing.B) {
	h := largeHouse(b, vesselsOfABench)
	b.Run("making the table", func(b *testing.B) {
		for b.Loop() {
			h.glance(book.StockQuery{Count: 50})
		}
	})
	for name, q := range map[string]book.StockQuery{
		"first page":        {Count: 50},
		"by strength":       {Count: 50, Sort: "strength", Down: true},
		"found":             {Count: 50, Find: "run 17"},
		"oak casks by loss": {Count: 50, Kind: "cask", Wood: "oak", Sort: "loss", Down: true},
		"by place":          {Count: 50, Group: "place"},
		"the last page":     {Count: 50, From: 94_000},
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				h.glance(q)
			}
		})
	}
}
