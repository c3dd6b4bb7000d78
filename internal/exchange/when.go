package exchange

import (
	"fmt"
	"regexp"
	"time"

	"example.org/croze/internal/cellar"
)

var (
	dateForm = regexp.MustCompile(`^\d{4}-\d\d-\d\d$`)
	timeForm = regexp.MustCompile(`^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$`)
)

// readWhen reads a date, which is midnight UTC, or a time by RFC 3339. It says
// why if it cannot.
func readWhen(text string) (t time.Time, why string) {
	switch {
	case text == "":
		return t, "is blank: say when it happened"
	case dateForm.MatchString(text):
		return readDate(text)
	case !timeForm.MatchString(text):
		return t, "write a date as 2024-03-31 or a time as 2024-03-31T14:30:00+02:00"
	}
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return t, "there is no such time"
	}
	return t, tooEarly(t)
}

// readDate reads YYYY-MM-DD and says why if it cannot.
func readDate(text string) (t time.Time, why string) {
	if !dateForm.MatchString(text) {
		return t, "write a date as 2024-03-31"
	}
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return t, "there is no such date"
	}
	return t, tooEarly(t)
}

func tooEarly(t time.Time) string {
	if t.Year() < cellar.EarliestYear {
		return fmt.Sprintf("before %d: is the year right?", cellar.EarliestYear)
	}
	return ""
}

// writeWhen is the inverse of readWhen: a date where that says it all.
func writeWhen(t time.Time) string {
	if _, offset := t.Zone(); offset == 0 && t.Equal(t.Truncate(24*time.Hour)) {
		return t.Format(time.DateOnly)
	}
	return t.Format(time.RFC3339Nano)
}
