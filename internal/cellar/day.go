package cellar

import (
	"fmt"
	"time"
)

// Day is a civil date: days since 1970-01-01. Ages are differences of days, so
// clock changes and time zones cannot bend them.
type Day int

// DayOf returns the date on the wall calendar where t was written down, that
// is, in t's own offset.
func DayOf(t time.Time) Day {
	year, month, day := t.Date()
	return Date(year, month, day)
}

// Date returns the day of a calendar date.
func Date(year int, month time.Month, day int) Day {
	return Day(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / secondsPerDay)
}

const secondsPerDay = 24 * 60 * 60

// ParseDay reads YYYY-MM-DD and refuses a date that does not exist.
func ParseDay(s string) (Day, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return 0, invalid("date", s, "not a date that exists: write YYYY-MM-DD")
	}
	return DayOf(t), nil
}

// AskedDay reads a day that somebody asks about, under the field in which it
// was written: one of the years in which a store can have been kept.
func AskedDay(field, text string) (Day, error) {
	d, err := ParseDay(text)
	if err != nil {
		return 0, under(field, err)
	}
	if year := d.Time().Year(); year < EarliestYear || year > LatestYear {
		return 0, invalid(field, text, "the year must be %d to %d", EarliestYear, LatestYear)
	}
	return d, nil
}

// Time returns midnight UTC of the day.
func (d Day) Time() time.Time { return time.Unix(int64(d)*secondsPerDay, 0).UTC() }

// String writes YYYY-MM-DD.
func (d Day) String() string { return d.Time().Format(time.DateOnly) }

// MarshalText writes YYYY-MM-DD, or nothing for the zero day.
func (d Day) MarshalText() ([]byte, error) {
	if d == 0 {
		return nil, nil
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads what MarshalText wrote.
func (d *Day) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = 0
		return nil
	}
	day, err := ParseDay(string(text))
	*d = day
	return err
}

// Span is a length of time in whole years, months and days on the calendar.
type Span struct{ Years, Months, Days int }

// SpanBetween counts whole years, then whole months, then days from one day to
// a later one. A month is whole when the same day of the month is reached, or
// the month's end where that day does not exist.
func SpanBetween(from, to Day) Span {
	if to < from {
		return Span{}
	}
	start, end := from.Time(), to.Time()
	months := (end.Year()-start.Year())*12 + int(end.Month()) - int(start.Month())
	for months > 0 && addMonths(start, months) > to {
		months--
	}
	return Span{months / 12, months % 12, int(to - addMonths(start, months))}
}

// addMonths keeps to the month's end: 31 January and one month is 28 or 29 February.
func addMonths(t time.Time, months int) Day {
	first := time.Date(t.Year(), t.Month()+time.Month(months), 1, 0, 0, 0, 0, time.UTC)
	last := first.AddDate(0, 1, -1).Day()
	return Date(first.Year(), first.Month(), min(t.Day(), last))
}

// String says the span as a person would: "3 y 2 m", "5 m 4 d", "12 d".
func (s Span) String() string {
	switch {
	case s.Years > 0:
		return fmt.Sprintf("%d y %d m", s.Years, s.Months)
	case s.Months > 0:
		return fmt.Sprintf("%d m %d d", s.Months, s.Days)
	}
	return fmt.Sprintf("%d d", s.Days)
}
