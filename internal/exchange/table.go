package exchange

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/croze/internal/book"
)

// File is a file to read, by the name that messages give it.
type File struct {
	Name string
	Data io.Reader
}

// column of a kind of file.
type column struct {
	name     string
	required bool // the header must have it
}

// table is a file taken apart, not yet understood.
type table struct {
	file     string
	position map[string]int // of each column in a record
	records  []record
	broken   []record // rows whose cells cannot all be told apart
	problems []book.RowProblem
	readable bool // the header is right, so that rows mean something
}

// record is a row as written. Lines are those on which its cells begin.
type record struct {
	cells []string
	lines []int
}

func (r record) line() int { return r.lines[0] }

// blank says whether nothing is written in the row, as in the last rows of
// what some spreadsheets save.
func (r record) blank() bool {
	return !slices.ContainsFunc(r.cells, func(s string) bool { return strings.TrimSpace(s) != "" })
}

// readTable takes a file apart. The error is the reader's; what is wrong with
// the file is in the table's problems.
func readTable(f File, columns []column) (*table, error) {
	t := &table{file: f.Name, position: make(map[string]int)}
	data, err := io.ReadAll(io.LimitReader(f.Data, MostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", f.Name, err)
	}
	if why := unreadable(data); why != "" {
		t.problem(1, "", "", why)
		return t, nil
	}
	in := csv.NewReader(bytes.NewReader(withLines(bytes.TrimPrefix(data, utf8BOM))))
	in.FieldsPerRecord = -1
	if t.readHeader(in, columns) {
		t.readable = true
		t.readRecords(in)
	}
	return t, nil
}

var (
	utf8BOM    = []byte("\xef\xbb\xbf")
	utf16BOMs  = [][]byte{[]byte("\xff\xfe"), []byte("\xfe\xff")}
	zipHeading = []byte("PK\x03\x04") // of a workbook, among others
)

// unreadable says why a file as a whole is not for reading, or nothing.
func unreadable(data []byte) string {
	switch {
	case len(data) > MostBytes:
		return fmt.Sprintf("the file is larger than %d MiB: divide it", MostBytes>>20)
	case len(bytes.TrimSpace(bytes.TrimPrefix(data, utf8BOM))) == 0:
		return "the file is empty: it needs a header row with the names of the columns"
	case slices.ContainsFunc(utf16BOMs, func(bom []byte) bool { return bytes.HasPrefix(data, bom) }):
		return "the file is UTF-16 text: save it as CSV in UTF-8"
	case bytes.HasPrefix(data, zipHeading):
		return "the file is a workbook or an archive: save the sheet as CSV in UTF-8"
	}
	return ""
}

// withLines ends lines as CSV does where a file ends them with carriage
// returns alone, as some old spreadsheets save it.
func withLines(data []byte) []byte {
	if bytes.IndexByte(data, '\n') >= 0 {
		return data
	}
	return bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
}

// readRecords reads the rows after the header. A row that is not CSV is
// reported, and reading goes on with the next line.
func (t *table) readRecords(in *csv.Reader) {
	for {
		r, err := readRecord(in)
		var parse *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			return
		case errors.As(err, &parse):
			t.problem(parse.StartLine, "", "", quoteReason(parse))
			t.broken = append(t.broken, r)
		case r.blank():
		case len(r.cells) != len(t.position):
			t.problem(r.line(), "", "", fmt.Sprintf("the row has %d fields and the header has %d: check the commas and the quotation marks", len(r.cells), len(t.position)))
			t.broken = append(t.broken, r)
		case len(t.records) >= MostRows:
			t.problem(r.line(), "", "", fmt.Sprintf("more than %d rows: divide the file", MostRows))
			return
		default:
			t.records = append(t.records, r)
		}
		if len(t.problems) >= MostProblems {
			return
		}
	}
}

func readRecord(in *csv.Reader) (record, error) {
	cells, err := in.Read()
	r := record{cells: cells, lines: make([]int, len(cells))}
	for i := range cells {
		r.lines[i], _ = in.FieldPos(i)
	}
	return r, err
}

func quoteReason(e *csv.ParseError) string {
	switch {
	case errors.Is(e.Err, csv.ErrBareQuote):
		return "a quotation mark stands inside a field that does not begin with one: put the whole field between quotation marks and double those inside"
	case errors.Is(e.Err, csv.ErrQuote) && e.Line > e.StartLine:
		return "a quotation mark is opened and not closed as it should be: double those inside a field"
	case errors.Is(e.Err, csv.ErrQuote):
		return "a quotation mark inside a quoted field is not doubled, or the closing one is missing"
	}
	return fmt.Sprintf("not CSV: %v", e.Err)
}

// problem notes what is wrong on a line.
func (t *table) problem(line int, column, value, reason string) {
	t.problems = append(t.problems, book.RowProblem{
		File: t.file, Line: line, Column: column, Value: shown(value), Reason: reason,
	})
}

// shown cuts a value that is too long for a message.
func shown(value string) string {
	runes := []rune(value)
	if len(runes) <= longestShown {
		return value
	}
	return string(runes[:longestShown]) + "…"
}
