// Package published hands the tables of testdata/published to tests: rows of
// printed check values, each with its source. Only tests import it.
package published

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// Row is one line of a table, by the name of the column.
type Row map[string]string

// Rows reads a table. It fails the test where there is none, and where a row
// does not say where it comes from.
func Rows(t testing.TB, name string) []Row {
	t.Helper()
	file, err := os.Open(filepath.Join("..", "..", "testdata", "published", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	lines, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []Row
	for i, line := range lines[1:] {
		r := Row{}
		for k, column := range lines[0] {
			r[column] = line[k]
		}
		if r["source"] == "" {
			t.Fatalf("%s:%d: no source", name, i+2)
		}
		rows = append(rows, r)
	}
	if len(rows) == 0 {
		t.Fatalf("%s has no rows", name)
	}
	return rows
}

// Number is a column as a number.
func (r Row) Number(t testing.TB, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return v
}

// Whole is a column as a whole number.
func (r Row) Whole(t testing.TB, column string) int {
	t.Helper()
	n, err := strconv.Atoi(r[column])
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return n
}
