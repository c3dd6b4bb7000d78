package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.org/croze/internal/exchange"
	"example.org/croze/internal/journal"
)

// writeJSON writes a result for programs.
func writeJSON(out io.Writer, v any) error {
	e := json.NewEncoder(out)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// kept is what backup and restore say to programs.
type kept struct {
	Entries uint64       `json:"entries"`
	Head    journal.Head `json:"head"`
	File    string       `json:"file"` // written by a backup, read by a restore
}

// shown says in which form a table is wanted.
type shown struct {
	json, csv bool
	xlsx      string
}

func showFlags(f *flag.FlagSet) *shown {
	s := new(shown)
	f.BoolVar(&s.json, "json", false, "as JSON")
	f.BoolVar(&s.csv, "csv", false, "as CSV")
	f.StringVar(&s.xlsx, "xlsx", "", "into a workbook, `FILE`")
	return s
}

// show gives out lines in the form that was asked for: as they are, as a
// sheet, or for people.
func (w world) show(s *shown, lines any, sheet exchange.Sheet, print func(io.Writer) error) error {
	asked := 0
	for _, one := range []bool{s.json, s.csv, s.xlsx != ""} {
		if one {
			asked++
		}
	}
	switch {
	case asked > 1:
		return errors.New("give one of --json, --csv and --xlsx")
	case s.json:
		return writeJSON(w.out, lines)
	case s.csv:
		return sheet.WriteCSV(w.out)
	case s.xlsx != "":
		return writeFile(s.xlsx, forAll, sheet.WriteXLSX)
	}
	return print(w.out)
}

// columns lay out a table for people: numbers to the right, words to the left.
type columns struct {
	heads []string // those that begin with ">" stand to the right
	rows  [][]string
}

func (c *columns) add(cells ...string) { c.rows = append(c.rows, cells) }

// write lays the table out with two spaces between columns.
func (c *columns) write(out io.Writer) error {
	widths := make([]int, len(c.heads))
	heads := make([]string, len(c.heads))
	for i, h := range c.heads {
		heads[i] = strings.TrimPrefix(h, ">")
	}
	all := append([][]string{heads}, c.rows...)
	for _, row := range all {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range all {
		var line strings.Builder
		for i, cell := range row {
			gap := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
			if strings.HasPrefix(c.heads[i], ">") {
				line.WriteString(gap + cell + "  ")
			} else {
				line.WriteString(cell + gap + "  ")
			}
		}
		if _, err := fmt.Fprintln(out, strings.TrimRight(line.String(), " ")); err != nil {
			return err
		}
	}
	return nil
}

// fixed writes a number with so many decimals, and no minus before a zero.
func fixed(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// short writes a number with at most three decimals.
func short(x float64) string {
	return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64)
}

// plural says 1 row, 2 rows.
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
