package journal

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"
)

// parseLine reads one line of an export: every field once, and no others. Its
// hash is for the caller to check.
func parseLine(line []byte) (e Entry, field string, err error) {
	if len(line) == 0 {
		return e, "", errors.New("the line is empty")
	}
	if err := checkObject(line); err != nil {
		return e, "", err
	}
	var given map[string]json.RawMessage
	if err := json.Unmarshal(line, &given); err != nil {
		return e, "", fmt.Errorf("it is not JSON: %w", err)
	}
	if field, err := e.take(given); err != nil {
		return e, field, err
	}
	d := Draft{e.ID, e.RecordedAt, e.HappenedAt, e.Who, e.Kind, e.Body}
	if field, err := d.settle(); err != nil {
		return e, field, err
	}
	e.RecordedAt, e.HappenedAt, e.Body = d.RecordedAt, d.HappenedAt, d.Body
	return e, "", nil
}

// take sets e's fields to the given ones.
func (e *Entry) take(given map[string]json.RawMessage) (field string, err error) {
	fields := []struct {
		name string
		into any
	}{
		{"seq", &e.Seq}, {"id", &e.ID}, {"recorded_at", &e.RecordedAt}, {"happened_at", &e.HappenedAt},
		{"who", &e.Who}, {"kind", &e.Kind}, {"body", &e.Body}, {"prev", &e.Prev}, {"hash", &e.Hash},
	}
	for _, f := range fields {
		value, ok := given[f.name]
		if !ok {
			return f.name, errors.New("it is missing")
		}
		if err := json.Unmarshal(value, f.into); err != nil {
			return f.name, fmt.Errorf("%s: %s", shown(string(value)), inPlainWords(err, f.into))
		}
		delete(given, f.name)
	}
	for _, name := range sortedKeys(given) {
		return name, errors.New("an entry has no such field")
	}
	return "", nil
}

// inPlainWords says what a value should have been, without the types of this
// program. A hash has words of its own.
func inPlainWords(err error, into any) string {
	var wrong *json.UnmarshalTypeError
	_, isTime := into.(*time.Time)
	switch {
	case isTime:
		return "it should be a time such as \"2026-03-01T14:30:00Z\""
	case !errors.As(err, &wrong):
		return err.Error()
	}
	if _, isNumber := into.(*uint64); isNumber {
		return "it should be a whole number, without quotation marks"
	}
	return "it should be a text between quotation marks"
}

func sortedKeys(m map[string]json.RawMessage) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
