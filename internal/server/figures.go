package server

import (
	"fmt"
	"strings"
)

// sayFigure writes a figure; one that is nothing when rounded has no sign.
func sayFigure(form string, x float64) string {
	said := fmt.Sprintf(form, x)
	if isNothing(said) {
		return strings.TrimLeft(said, "+-")
	}
	return said
}

// isNothing says whether a figure, as written, has no digit but 0.
func isNothing(said string) bool { return !strings.ContainsAny(said, "123456789") }

// decimals is how many decimals a form such as %+.2f writes.
func decimals(form string) int {
	_, behind, _ := strings.Cut(fmt.Sprintf(form, 0.0), ".")
	return len(behind)
}

// saySpread writes a standard deviation with so many decimals, and one more
// where it would say that there is none.
func saySpread(decimals int, sd float64) string {
	for range 2 {
		if said := fmt.Sprintf("%.*f", decimals, sd); !isNothing(said) {
			return said
		}
		decimals++
	}
	return fmt.Sprintf("%.*f", decimals-1, sd)
}

// sayShare writes a share in whole per cent; a little is not nothing.
func sayShare(x float64) string {
	if x > 0 && x < 0.005 {
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*x)
}
