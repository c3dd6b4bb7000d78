package exchange

import "strings"

// A spreadsheet that opens a CSV file takes a cell that begins with one of
// these for a formula, even inside quotation marks, and may run it.
const formulaStarts = "=+-@\t\r"

// defused returns a text that no spreadsheet takes for a formula: an
// apostrophe goes in front, which spreadsheets do not show.
func defused(text string) string {
	if startsFormula(strings.TrimLeft(text, "'")) {
		return "'" + text
	}
	return text
}

// revealed is the inverse of defused.
func revealed(text string) string {
	if rest, ok := strings.CutPrefix(text, "'"); ok && startsFormula(strings.TrimLeft(rest, "'")) {
		return rest
	}
	return text
}

func startsFormula(text string) bool { return text != "" && strings.Contains(formulaStarts, text[:1]) }
