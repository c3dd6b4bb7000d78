package journal

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"time"
	"unicode"
	"unicode/utf8"
)

// checked returns the drafts in the one form that is recorded: times without a
// monotonic reading, bodies compact. It returns an *InvalidError for the first
// that cannot be recorded.
func checked(drafts []Draft) ([]Draft, error) {
	if len(drafts) > MaxDrafts {
		return nil, &InvalidError{MaxDrafts, "id", fmt.Sprintf("%d entries at once are more than %d", len(drafts), MaxDrafts)}
	}
	seen := make(map[string]bool, len(drafts))
	done := make([]Draft, len(drafts))
	for i, d := range drafts {
		field, err := d.settle()
		if err == nil && seen[d.ID] {
			field, err = "id", fmt.Errorf("%s is used twice in one append", d.ID)
		}
		if err != nil {
			return nil, &InvalidError{i, field, err.Error()}
		}
		seen[d.ID], done[i] = true, d
	}
	return done, nil
}

// Settled returns a draft in the form that is recorded, or an *InvalidError.
func Settled(d Draft) (Draft, error) {
	settled, err := checked([]Draft{d})
	if err != nil {
		return d, err
	}
	return settled[0], nil
}

// settle puts d into the form that is recorded, or names the field that is wrong.
func (d *Draft) settle() (field string, err error) {
	if err := checkID(d.ID); err != nil {
		return "id", err
	}
	if d.RecordedAt, err = settleTime(d.RecordedAt); err != nil {
		return "recorded_at", err
	}
	if d.HappenedAt, err = settleTime(d.HappenedAt); err != nil {
		return "happened_at", err
	}
	if err := checkWho(d.Who); err != nil {
		return "who", err
	}
	if err := checkKind(d.Kind); err != nil {
		return "kind", err
	}
	if d.Body, err = compactBody(d.Body); err != nil {
		return "body", err
	}
	return "", nil
}

// checkID takes a ULID: 26 of Crockford's 32 digits, in upper case, below 2^128.
func checkID(id string) error {
	if len(id) != 26 {
		return fmt.Errorf("%q has %d characters, a ULID has 26", shown(id), len(id))
	}
	for _, c := range id {
		digit := c >= '0' && c <= '9'
		letter := c >= 'A' && c <= 'Z' && c != 'I' && c != 'L' && c != 'O' && c != 'U'
		if !digit && !letter {
			return fmt.Errorf("%q has %q, which is not a digit of an upper-case ULID", shown(id), c)
		}
	}
	if id[0] > '7' {
		return fmt.Errorf("%q is above the largest ULID, which begins with 7", id)
	}
	return nil
}

// settleTime returns t as it will be read back: to the nanosecond, with an
// offset of whole minutes, which is all that RFC 3339 can say.
func settleTime(t time.Time) (time.Time, error) {
	if t.IsZero() {
		return t, fmt.Errorf("there is no time")
	}
	_, offset := t.Zone()
	t = t.Round(0).In(time.FixedZone("", offset-offset%60))
	if y := t.Year(); y < 1 || y > 9999 {
		return t, fmt.Errorf("the year %d is outside 1 to 9999", y)
	}
	if offset/3600 > 23 || offset/3600 < -23 {
		return t, fmt.Errorf("the offset of %d hours is outside -23 to 23", offset/3600)
	}
	return time.Parse(time.RFC3339Nano, timeText(t))
}

func checkWho(who string) error {
	if who == "" {
		return fmt.Errorf("it is empty: say who records this")
	}
	if len(who) > MaxWho {
		return fmt.Errorf("it has %d bytes, more than %d", len(who), MaxWho)
	}
	if !utf8.ValidString(who) {
		return fmt.Errorf("%q is not UTF-8", shown(who))
	}
	for _, r := range who {
		if unicode.IsControl(r) {
			return fmt.Errorf("%q has the control character %U", shown(who), r)
		}
	}
	return nil
}

func checkKind(kind string) error {
	if kind == "" {
		return fmt.Errorf("it is empty: say what sort of entry this is")
	}
	if len(kind) > MaxKind {
		return fmt.Errorf("it has %d bytes, more than %d", len(kind), MaxKind)
	}
	for _, c := range kind {
		if (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '_' && c != '-' && c != '.' {
			return fmt.Errorf("%q has %q: a kind has a to z, 0 to 9, _, - and . only", shown(kind), c)
		}
	}
	return nil
}

// compactBody returns a JSON object without spaces between its parts and with
// <, >, & and the two line separators escaped, so that writing it within other
// JSON by the usual encoders leaves every byte as it is. Numbers and the order
// of keys stay as they were given.
func compactBody(body json.RawMessage) (json.RawMessage, error) {
	if !utf8.Valid(body) {
		return nil, fmt.Errorf("it is not UTF-8")
	}
	if err := checkObject(body); err != nil {
		return nil, err
	}
	compact, err := json.Marshal(body)
	if err != nil {
		return nil, err
	}
	if len(compact) > MaxBody {
		return nil, fmt.Errorf("it has %d bytes, more than %d", len(compact), MaxBody)
	}
	return compact, nil
}

// checkObject takes one JSON object in which no key is given twice, because
// readers differ in which of the two they believe.
func checkObject(body []byte) error {
	d := json.NewDecoder(bytes.NewReader(body))
	d.UseNumber()
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return fmt.Errorf("it is not a JSON object")
	}
	if err := checkMembers(d, '{', 1); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return fmt.Errorf("there is more after the end of the JSON object")
	}
	return nil
}

// checkMembers reads to the end of the list or object that open began.
func checkMembers(d *json.Decoder, open json.Delim, depth int) error {
	if depth > MaxDepth {
		return fmt.Errorf("lists and objects stand within each other more than %d deep", MaxDepth)
	}
	keys := map[string]bool{}
	for d.More() {
		t, err := d.Token()
		if err != nil {
			return fmt.Errorf("it is not JSON: %w", err)
		}
		if open == '{' {
			key, _ := t.(string) // Token returns a string for a key or fails
			if keys[key] {
				return fmt.Errorf("the key %q is there twice", shown(key))
			}
			keys[key] = true
			if t, err = d.Token(); err != nil {
				return fmt.Errorf("it is not JSON: %w", err)
			}
		}
		if inner, ok := t.(json.Delim); ok {
			if err := checkMembers(d, inner, depth+1); err != nil {
				return err
			}
		}
	}
	if _, err := d.Token(); err != nil {
		return fmt.Errorf("it is not JSON: %w", err)
	}
	return nil
}

// shown cuts a value that is too long for a message.
func shown(s string) string {
	const most = 60
	if len(s) <= most {
		return s
	}
	return s[:most] + "…"
}
