package exchange

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// shares reads a list of named shares such as rye:0.6;barley:0.4, nil if the
// cell is blank.
func (r *row) shares(column string) map[string]float64 {
	text, _ := r.cell(column)
	if text == "" {
		return nil
	}
	shares, why := readShares(text)
	if why != "" {
		r.refuse(column, "%s", why)
		return nil
	}
	r.says.add(column, writeShares(shares))
	return shares
}

func readShares(text string) (shares map[string]float64, why string) {
	shares = make(map[string]float64)
	for part := range strings.SplitSeq(text, ";") {
		name, number, found := strings.Cut(part, ":")
		name = strings.TrimSpace(name)
		if !found || name == "" {
			return nil, "write a name and a share from 0 to 1 for each, as rye:0.6;barley:0.4"
		}
		share, why := readNumber(name, number)
		if why != "" {
			return nil, fmt.Sprintf("the share of %s, %q: %s", name, strings.TrimSpace(number), why)
		}
		if !(share >= 0 && share <= 1) {
			return nil, fmt.Sprintf("the share of %s must be 0 to 1", name)
		}
		if _, twice := shares[name]; twice {
			return nil, fmt.Sprintf("%s is there twice", name)
		}
		shares[name] = share
	}
	return shares, ""
}

// writeShares is the inverse of readShares, in order of name.
func writeShares(shares map[string]float64) string {
	parts := make([]string, 0, len(shares))
	for _, name := range slices.Sorted(maps.Keys(shares)) {
		parts = append(parts, name+":"+exact(shares[name]))
	}
	return strings.Join(parts, ";")
}
