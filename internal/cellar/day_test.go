package cellar

import (
	"encoding/json"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Whole months end with the month where the day does not exist.
func TestSpanBetween(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     Span
	}{
		{"2024-01-31", "2024-02-28", Span{0, 0, 28}}, // a leap year: the month ends on the 29th
		{"2024-01-31", "2024-02-29", Span{0, 1, 0}},
		{"2023-01-31", "2023-02-28", Span{0, 1, 0}},
		{"2023-01-31", "2023-03-01", Span{0, 1, 1}},
		{"2024-02-29", "2025-02-28", Span{1, 0, 0}},
		{"2024-02-29", "2025-02-27", Span{0, 11, 29}},
		{"2024-02-29", "2028-02-28", Span{3, 11, 30}},
		{"2024-02-29", "2028-02-29", Span{4, 0, 0}},
		{"2021-12-15", "2022-01-14", Span{0, 0, 30}}, // not a month, though the calendar month changed
		{"2021-12-15", "2022-12-14", Span{0, 11, 29}},
		{"2021-12-31", "2022-01-01", Span{0, 0, 1}},
		{"2022-05-05", "2022-05-05", Span{}},
		{"2022-05-05", "2022-05-04", Span{}},
	} {
		if got := SpanBetween(mustDay(t, c.from), mustDay(t, c.to)); got != c.want {
			t.Errorf("%s to %s is %+v, want %+v", c.from, c.to, got, c.want)
		}
	}
}

// One day later is never a shorter span, and the span leads back to the day.
func TestSpanGrowsByTheDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := Day(rapid.IntRange(-25000, 30000).Draw(t, "from"))
		to := from + Day(rapid.IntRange(0, 20000).Draw(t, "days"))
		a, b := SpanBetween(from, to), SpanBetween(from, to+1)
		if b.Years*12+b.Months < a.Years*12+a.Months {
			t.Fatalf("%s to %s is %+v, a day later %+v", from, to, a, b)
		}
		if back := addMonths(from.Time(), a.Years*12+a.Months) + Day(a.Days); back != to {
			t.Fatalf("%s and %+v is %s, want %s", from, a, back, to)
		}
		if a.Months > 11 || a.Days > 30 || a.Days < 0 {
			t.Fatalf("%s to %s is %+v", from, to, a)
		}
	})
}

func TestSpanIsSaid(t *testing.T) {
	for span, want := range map[Span]string{
		{3, 2, 9}: "3 y 2 m", {1, 0, 0}: "1 y 0 m", {0, 5, 4}: "5 m 4 d", {0, 0, 12}: "12 d", {}: "0 d",
	} {
		if got := span.String(); got != want {
			t.Errorf("%#v is said %q, want %q", span, got, want)
		}
	}
}

// The day is the one on the wall where it was written down: neither the hour
// nor the change of the clocks moves it.
func TestDayOfGoesByTheOffsetWritten(t *testing.T) {
	for text, want := range map[string]string{
		"2024-03-31T00:30:00+01:00":      "2024-03-31", // 30 March in UTC
		"2024-03-30T23:30:00Z":           "2024-03-30", // the same instant, written down in UTC
		"2024-01-01T23:59:59.999-11:00":  "2024-01-01",
		"2024-01-01T00:00:00+14:00":      "2024-01-01",
		"1969-12-31T23:00:00-05:00":      "1969-12-31",
		"2024-10-27T02:30:00+02:00":      "2024-10-27", // the hour that comes twice …
		"2024-10-27T02:30:00.0001+01:00": "2024-10-27", // … and its second coming
	} {
		at, err := time.Parse(time.RFC3339Nano, text)
		if err != nil {
			t.Fatal(err)
		}
		if got := DayOf(at).String(); got != want {
			t.Errorf("%s is on %s, want %s", text, got, want)
		}
	}
}

func TestDaysGoThereAndBack(t *testing.T) {
	for d := Day(-26000); d < 40000; d++ {
		back, err := ParseDay(d.String())
		if err != nil || back != d {
			t.Fatalf("%d is written %s and read %d (%v)", d, d, back, err)
		}
	}
	for _, text := range []string{"2023-02-29", "2024-02-30", "2024-13-01", "2024-00-10", "24-01-01", "01.02.2024", "2024-1-1", ""} {
		if d, err := ParseDay(text); err == nil {
			t.Errorf("%q is read as %s", text, d)
		} else {
			wantProblem(t, err, "YYYY-MM-DD")
		}
	}
}

// A day that is not known is left out of the journal, and read back as that.
func TestDayInJSON(t *testing.T) {
	type dated struct {
		On  Day `json:"on,omitempty"`
		Had Day `json:"had"`
	}
	for _, c := range []struct {
		value dated
		text  string
	}{
		{dated{}, `{"had":""}`},
		{dated{On: mustDay(t, "2024-02-29"), Had: mustDay(t, "1950-06-01")}, `{"on":"2024-02-29","had":"1950-06-01"}`},
	} {
		text, err := json.Marshal(c.value)
		if err != nil || string(text) != c.text {
			t.Errorf("%+v is written %s (%v), want %s", c.value, text, err, c.text)
		}
		var back dated
		if err := json.Unmarshal(text, &back); err != nil || back != c.value {
			t.Errorf("%s is read %+v (%v)", text, back, err)
		}
	}
	var d Day
	if err := json.Unmarshal([]byte(`"2023-02-29"`), &d); err == nil {
		t.Errorf("a date that does not exist is read as %s", d)
	}
}
