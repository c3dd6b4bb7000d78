package server_test

import (
	"net/http"
	"reflect"
	"strconv"
	"testing"

	"example.org/croze/internal/book"
)

// The stock in parts is the stock.
func TestStockInParts(t *testing.T) {
	h := demoHouse(t)
	whole := decoded[[]book.StockLine](t, h.get("/api/stock"))
	var parts []book.StockLine
	for from := 0; from < len(whole); from += 10 {
		part := decoded[[]book.StockLine](t, h.get("/api/stock?count=10&from="+strconv.Itoa(from)))
		if len(part) != min(10, len(whole)-from) {
			t.Fatalf("%d vessels from %d of %d", len(part), from, len(whole))
		}
		parts = append(parts, part...)
	}
	if !reflect.DeepEqual(parts, whole) {
		t.Error("the parts differ from the whole")
	}
	if a := h.get("/api/stock?count=10&from=" + strconv.Itoa(len(whole))); a.status != http.StatusOK || a.body != "[]" {
		t.Errorf("past the end: status %d, %s", a.status, a.body)
	}
	for field, address := range map[string]string{"count": "/api/stock?count=0", "from": "/api/stock?count=5&from=-1"} {
		if a := h.get(address); a.status != http.StatusUnprocessableEntity || !a.says(field) {
			t.Errorf("%s: status %d, %s", address, a.status, a.body)
		}
	}
}
