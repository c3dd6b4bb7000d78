package tidy

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"
)

// TestPublishedRowsHaveTheirSource reads the tables of published check values.
func TestPublishedRowsHaveTheirSource(t *testing.T) {
	tables := 0
	for _, file := range treeFiles(t) {
		if !strings.HasPrefix(file, "testdata/published/") || !strings.HasSuffix(file, ".csv") {
			continue
		}
		tables++
		rows, err := csv.NewReader(strings.NewReader(read(t, file))).ReadAll()
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		column := slices.Index(rows[0], "source")
		if column < 0 || len(rows) < 2 {
			t.Errorf("%s has no column source, or no rows", file)
			continue
		}
		for i, row := range rows[1:] {
			if strings.TrimSpace(row[column]) == "" {
				t.Errorf("%s: row %d has no source", file, i+2)
			}
		}
	}
	if tables == 0 {
		t.Error("there are no tables of published values")
	}
}
