package exchange_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/exchange"
)

// TestCalendarReadByAnother writes a diary and has another library read it.
func TestCalendarReadByAnother(t *testing.T) {
	at := time.Date(2026, 11, 25, 12, 30, 0, 0, time.UTC)
	day := cellar.Date(2026, 12, 24)
	words := "The autumn lot; with fig, quince\nand a very long remark that must be folded because no line may have more than seventy-five octets — ½ Fût"
	due := []book.Engagement{
		{Key: "look-7K4-M2X-2026-06-01", On: cellar.DayOf(at), Since: day - 60, Vessel: "7K4-M2X", Place: "Rafter loft, row 2", Title: "Sample 7K4-M2X", Words: "Last looked at on 2026-06-01."},
		{Key: "aim-01J", On: day, Vessel: "cask 12/b", Title: "Bottle cask 12", Words: words},
	}
	var out bytes.Buffer
	if err := exchange.WriteCalendar(&out, at, "https://cellar.example/croze", due); err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(strings.TrimSuffix(out.String(), "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n") {
			t.Errorf("the line %q is not folded as RFC 5545, 3.1 asks", line)
		}
	}
	read, err := ics.ParseCalendar(&out)
	if err != nil {
		t.Fatal(err)
	}
	events := read.Events()
	if len(events) != len(due) {
		t.Fatalf("%d events are read, want %d", len(events), len(due))
	}
	want := []map[ics.ComponentProperty]string{
		{
			ics.ComponentPropertyUniqueId: "look-7K4-M2X-2026-06-01@croze", ics.ComponentPropertyDtStart: "20261125", ics.ComponentPropertyDtEnd: "20261126",
			ics.ComponentPropertySummary: "Sample 7K4-M2X", ics.ComponentPropertyLocation: "Rafter loft, row 2", ics.ComponentPropertyDtstamp: "20261125T123000Z",
			ics.ComponentPropertyDescription: "Last looked at on 2026-06-01. Due since 2026-10-25.", ics.ComponentPropertyUrl: "https://cellar.example/croze/v/7K4-M2X",
		},
		{
			ics.ComponentPropertyUniqueId: "aim-01J@croze", ics.ComponentPropertyDtStart: "20261224", ics.ComponentPropertySummary: "Bottle cask 12",
			ics.ComponentPropertyDescription: words, ics.ComponentPropertyUrl: "https://cellar.example/croze/v/cask%2012%2Fb", ics.ComponentPropertyTransp: "TRANSPARENT",
		},
	}
	for i, properties := range want {
		for name, value := range properties {
			got := events[i].GetProperty(name)
			if got == nil || ics.FromText(got.Value) != value && got.Value != value {
				t.Errorf("event %d: %s is %+v, want %q", i, name, got, value)
			}
		}
	}
}

// An empty diary is a calendar too.
func TestEmptyCalendar(t *testing.T) {
	var out bytes.Buffer
	if err := exchange.WriteCalendar(&out, time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), "", nil); err != nil {
		t.Fatal(err)
	}
	read, err := ics.ParseCalendar(&out)
	if err != nil || len(read.Events()) != 0 {
		t.Errorf("%d events are read (%v), want none", len(read.Events()), err)
	}
}
