package journal

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"
)

// refusals are drafts that no journal takes, with the field that is named.
var refusals = []struct {
	name, field string
	spoil       func(*Draft)
}{
	{"no ID", "id", func(d *Draft) { d.ID = "" }},
	{"short ID", "id", func(d *Draft) { d.ID = d.ID[1:] }},
	{"lower-case ID", "id", func(d *Draft) { d.ID = strings.Repeat("0", 25) + "a" }},
	{"ID with a letter that is no digit", "id", func(d *Draft) { d.ID = strings.Repeat("0", 25) + "U" }},
	{"ID above 128 bits", "id", func(d *Draft) { d.ID = "8" + strings.Repeat("0", 25) }},
	{"no recorded-at", "recorded_at", func(d *Draft) { d.RecordedAt = time.Time{} }},
	{"no happened-at", "happened_at", func(d *Draft) { d.HappenedAt = time.Time{} }},
	{"year 10000", "happened_at", func(d *Draft) { d.HappenedAt = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC) }},
	{"offset of a day", "happened_at", func(d *Draft) { d.HappenedAt = epoch.In(time.FixedZone("", 24*3600)) }},
	{"nobody", "who", func(d *Draft) { d.Who = "" }},
	{"long name", "who", func(d *Draft) { d.Who = strings.Repeat("x", MaxWho+1) }},
	{"name with a line feed", "who", func(d *Draft) { d.Who = "a\nb" }},
	{"name that is not UTF-8", "who", func(d *Draft) { d.Who = "a\xff" }},
	{"no kind", "kind", func(d *Draft) { d.Kind = "" }},
	{"long kind", "kind", func(d *Draft) { d.Kind = strings.Repeat("x", MaxKind+1) }},
	{"kind in capitals", "kind", func(d *Draft) { d.Kind = "Sample" }},
	{"no body", "body", func(d *Draft) { d.Body = nil }},
	{"body that is a list", "body", func(d *Draft) { d.Body = json.RawMessage(`[]`) }},
	{"body that is null", "body", func(d *Draft) { d.Body = json.RawMessage(`null`) }},
	{"body with a comma at the end", "body", func(d *Draft) { d.Body = json.RawMessage(`{"a":1,}`) }},
	{"two bodies", "body", func(d *Draft) { d.Body = json.RawMessage(`{} {}`) }},
	{"body with the same key twice", "body", func(d *Draft) { d.Body = json.RawMessage(`{"a":{"b":1,"b":2}}`) }},
	{"body that is not UTF-8", "body", func(d *Draft) { d.Body = json.RawMessage("{\"a\":\"\xff\"}") }},
	{"deep body", "body", func(d *Draft) {
		d.Body = json.RawMessage(`{"a":` + strings.Repeat("[", MaxDepth) + strings.Repeat("]", MaxDepth) + `}`)
	}},
	{"large body", "body", func(d *Draft) { d.Body = json.RawMessage(`{"a":"` + strings.Repeat("x", MaxBody) + `"}`) }},
}

func suiteLimits(t *testing.T, j Journal) {
	for _, c := range refusals {
		d := draft(1)
		c.spoil(&d)
		_, err := j.Append(Head{}, draft(0), d)
		var invalid *InvalidError
		if !errors.As(err, &invalid) || invalid.Draft != 1 || invalid.Field != c.field {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if _, err := j.Append(Head{}, make([]Draft, MaxDrafts+1)...); !IsInvalid(err) {
		t.Errorf("too many drafts: %v", err)
	}
	largest := draft(1)
	largest.Who = strings.Repeat("x", MaxWho)
	largest.Kind = strings.Repeat("x", MaxKind)
	largest.Body = json.RawMessage(`{"a":"` + strings.Repeat("x", MaxBody-len(`{"a":""}`)) + `"}`)
	e := mustAppend(t, j, largest)
	wantEntries(t, all(t, j), e)
}

func TestTimesKeepInstantAndOffset(t *testing.T) {
	j := NewMemory()
	for i, c := range []struct{ given, want string }{
		{"2024-02-29T23:59:59.123456789-03:30", "2024-02-29T23:59:59.123456789-03:30"},
		{"2024-02-29T23:59:59.120Z", "2024-02-29T23:59:59.12Z"},
		{"2024-02-29T23:59:59+00:00", "2024-02-29T23:59:59Z"},
		{"0001-01-01T00:00:01Z", "0001-01-01T00:00:01Z"},
	} {
		given, err := time.Parse(time.RFC3339Nano, c.given)
		if err != nil {
			t.Fatal(err)
		}
		d := draft(i)
		d.HappenedAt = given
		if got := timeText(mustAppend(t, j, d)[0].HappenedAt); got != c.want {
			t.Errorf("%s became %s, want %s", c.given, got, c.want)
		}
	}
	// Before zones had whole minutes an offset could be 53 min 28 s, which RFC
	// 3339 cannot say: the instant is kept and the offset becomes 53 min.
	d := draft(9)
	d.HappenedAt = time.Date(1890, 1, 1, 12, 0, 0, 0, time.FixedZone("", 53*60+28))
	if got := timeText(mustAppend(t, j, d)[0].HappenedAt); got != "1890-01-01T11:59:32+00:53" {
		t.Errorf("an offset with seconds became %s", got)
	}
}
