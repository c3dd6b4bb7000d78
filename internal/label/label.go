package label

import (
	"fmt"
	"strings"
	"unicode"
)

// Limits of one job.
const (
	MostLabels   = 5000 // in one PDF
	mostLines    = 20   // on one label
	longestLine  = 200  // characters kept of a line
	longestCode  = 60   // characters of a code or name
	furthestRead = 3000 // mm
)

// Label is what is printed.
type Label struct {
	Address string   // what the QR code holds; Address makes it
	Code    string   // printed large
	Kind    string   // printed below it: "Cask", "Batch", "Bottle lot", "Sample" …; may be empty
	Lines   []string // further lines in plain type; those that do not fit are cut
}

func (l Label) check() error {
	switch {
	case strings.TrimSpace(l.Code) == "":
		return fmt.Errorf("label: code: is empty: a label needs one")
	case l.Address == "":
		return fmt.Errorf("label %s: address: is empty: set the public address of the store", l.Code)
	case len(l.Lines) > mostLines:
		return fmt.Errorf("label %s: lines: %d of them: at most %d can be printed", l.Code, len(l.Lines), mostLines)
	}
	return nil
}

// lines returns what stands below the code, with nothing in it that cannot be drawn.
func (l Label) lines() []string {
	lines := make([]string, 0, len(l.Lines)+1)
	for _, line := range append([]string{l.Kind}, l.Lines...) {
		if line = printable(line); line != "" {
			lines = append(lines, line)
		}
	}
	return lines
}

// printable turns control characters into spaces and characters that the font
// does not have into U+FFFD, and cuts what no label could hold.
func printable(s string) string {
	var b strings.Builder
	count := 0
	for _, r := range strings.TrimSpace(s) {
		if count++; count > longestLine {
			break
		}
		switch {
		case unicode.IsControl(r) || unicode.In(r, unicode.Zl, unicode.Zp):
			r = ' '
		case !font().has(r):
			r = unicode.ReplacementChar
		}
		b.WriteRune(r)
	}
	return strings.TrimSpace(b.String())
}
