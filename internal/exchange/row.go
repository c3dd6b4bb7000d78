package exchange

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// row reads the cells of a record, and gathers what is wrong with them and
// what they say.
type row struct {
	table    *table
	record   record
	problems []book.RowProblem
	says     identity
}

// cell returns what is written under a column, "" if there is no such column.
func (r *row) cell(column string) (text string, line int) {
	i, there := r.table.position[column]
	if !there || i >= len(r.record.cells) {
		return "", r.record.line()
	}
	return revealed(strings.TrimSpace(r.record.cells[i])), r.record.lines[i]
}

// refuse notes what is wrong with a cell.
func (r *row) refuse(column, reason string, args ...any) {
	text, line := r.cell(column)
	r.problems = append(r.problems, book.RowProblem{
		File: r.table.file, Line: line, Column: column, Value: shown(text), Reason: fmt.Sprintf(reason, args...),
	})
}

// text reads a cell of words.
func (r *row) text(column string) string {
	text, _ := r.cell(column)
	if why := badText(text); why != "" {
		r.refuse(column, "%s", why)
		return ""
	}
	r.says.add(column, text)
	return text
}

// needed reads a cell that may not be blank.
func (r *row) needed(column string) string {
	text := r.text(column)
	if written, _ := r.cell(column); written == "" {
		r.refuse(column, "is blank: fill it in")
	}
	return text
}

// badText says why a text cannot be taken, or nothing.
func badText(text string) string {
	switch {
	case !utf8.ValidString(text):
		return "not UTF-8 text: save the file as CSV in UTF-8"
	case len(text) > longestCell:
		return fmt.Sprintf("longer than %d bytes", longestCell)
	}
	for _, c := range text {
		if unicode.IsControl(c) && !strings.ContainsRune("\n\r\t", c) {
			return fmt.Sprintf("holds the control character %U: take it out", c)
		}
	}
	return ""
}

// bounds of a number. Open: the low end itself is out.
type bounds struct {
	low, high float64
	open      bool
	hint      string // what else it may be
}

func (b bounds) refuses(x float64) string {
	text := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	switch {
	case b.open && !(x > b.low && x <= b.high):
		return fmt.Sprintf("must be above %s and at most %s%s", text(b.low), text(b.high), b.hint)
	case !(x >= b.low && x <= b.high):
		return fmt.Sprintf("must be %s to %s%s", text(b.low), text(b.high), b.hint)
	}
	return ""
}

// number reads a number, nil if the cell is blank.
func (r *row) number(column string, within bounds) *float64 {
	x := r.parsed(column, within)
	if x != nil {
		r.says.add(column, strconv.FormatFloat(*x, 'g', -1, 64))
	}
	return x
}

// numberOr0 reads a number where 0 and a blank cell say the same.
func (r *row) numberOr0(column string, within bounds) float64 {
	x := r.parsed(column, within)
	if x == nil || *x == 0 {
		return 0
	}
	r.says.add(column, strconv.FormatFloat(*x, 'g', -1, 64))
	return *x
}

// parsed reads a number and holds it to its bounds.
func (r *row) parsed(column string, within bounds) *float64 {
	text, _ := r.cell(column)
	if text == "" {
		return nil
	}
	x, why := readNumber(column, text)
	if why == "" {
		why = within.refuses(x)
	}
	if why != "" {
		r.refuse(column, "%s", why)
		return nil
	}
	x += 0 // makes -0 into 0
	return &x
}

func readNumber(column, text string) (x float64, why string) {
	x, err := spirit.ParseNumber(column, text)
	var parse *spirit.ParseError
	if errors.As(err, &parse) {
		return 0, parse.Why
	}
	if err != nil {
		return 0, err.Error()
	}
	return x, ""
}

// day reads a date up to today, 0 if the cell is blank.
func (r *row) day(column string, now time.Time) cellar.Day {
	text, _ := r.cell(column)
	if text == "" {
		return 0
	}
	t, why := readDate(text)
	day := cellar.DayOf(t)
	switch {
	case why != "":
	case day > cellar.DayOf(now):
		why = "lies in the future"
	case day == 0:
		why = "the book takes this one date for a blank: write the day before or after"
	}
	if why != "" {
		r.refuse(column, "%s", why)
		return 0
	}
	r.says.add(column, day.String())
	return day
}

// when reads a date or a time that is not in the future.
func (r *row) when(column string, now time.Time) time.Time {
	text, _ := r.cell(column)
	t, why := readWhen(text)
	if why == "" && t.After(now.Add(cellar.FutureMinutes*time.Minute)) {
		why = "lies in the future"
	}
	if why != "" {
		r.refuse(column, "%s", why)
		return time.Time{}
	}
	r.says.add(column, t.UTC().Format(time.RFC3339Nano))
	return t
}
