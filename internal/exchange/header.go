package exchange

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
)

// readHeader learns where the columns stand, and says whether the rows can be
// read by it.
func (t *table) readHeader(in *csv.Reader, columns []column) bool {
	r, err := readRecord(in)
	if err != nil {
		t.problem(1, "", "", "the header row cannot be read: "+err.Error())
		return false
	}
	if why := wrongSeparator(r); why != "" {
		t.problem(r.line(), "", "", why)
		return false
	}
	for i, cell := range r.cells {
		name := strings.TrimSpace(cell)
		if why := t.notAColumn(name, columns); why != "" {
			t.problem(r.lines[i], name, "", why)
			continue
		}
		t.position[name] = i
	}
	for _, c := range columns {
		if _, there := t.position[c.name]; c.required && !there {
			t.problem(r.line(), c.name, "", "this column is missing")
		}
	}
	return len(t.problems) == 0
}

// notAColumn says why a heading is not taken, or nothing.
func (t *table) notAColumn(name string, columns []column) string {
	if why := badText(name); why != "" {
		return why
	}
	if first, twice := t.position[name]; twice {
		return fmt.Sprintf("there are two columns of this name, the first is number %d: keep one", first+1)
	}
	if slices.ContainsFunc(columns, func(c column) bool { return c.name == name }) {
		return ""
	}
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
		if strings.EqualFold(c.name, name) {
			return "unknown column: write " + c.name
		}
	}
	if name == "" {
		return "a column without a name: name it or take it out"
	}
	return "unknown column: the columns are " + strings.Join(names, ", ")
}

// wrongSeparator knows the header of a file whose fields are not divided by commas.
func wrongSeparator(r record) string {
	if len(r.cells) != 1 {
		return ""
	}
	for sign, name := range map[string]string{";": "semicolons", "\t": "tabs"} {
		if strings.Contains(r.cells[0], sign) {
			return "the fields are divided by " + name + ": save the file with commas, and numbers with a decimal point"
		}
	}
	return ""
}
