package gauge

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// row is one line of a published table, by the name of the column.
type row map[string]string

// published reads a table of testdata/published and refuses one whose rows do
// not say where they come from.
func published(t *testing.T, name string) []row {
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
	var rows []row
	for i, line := range lines[1:] {
		r := row{}
		for k, column := range lines[0] {
			r[column] = line[k]
		}
		if r["source"] == "" {
			t.Fatalf("%s:%d: no source", name, i+2)
		}
		rows = append(rows, r)
	}
	return rows
}

func (r row) number(t *testing.T, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return v
}

// must fails the test where a call that has to succeed does not.
func must[T any](t failer) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatalf("%v", err)
		}
		return v
	}
}

// failer is what testing and rapid have in common here.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

// near reports a value that is further from what is wanted than allowed.
func near(t failer, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %.9g, want %.9g within %.2g (off by %.2g)", what, got, want, within, got-want)
	}
}
