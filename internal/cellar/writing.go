package cellar

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"unicode"
)

// CheckWriting holds every text of an entry's body to characters that show
// themselves: no control character but tabs and line ends, and none that turns
// the direction of writing around, which makes a reader see other words than
// were written. It is for new entries only: older ones are kept as they are.
func CheckWriting(body []byte) error {
	if !mayHide(body) {
		return nil
	}
	var anything any
	if err := json.Unmarshal(body, &anything); err != nil {
		return invalid("body", nil, "cannot be read: %v", err)
	}
	return checkWritten("", anything)
}

// mayHide is quick, and true of some bodies in which nothing is hidden.
func mayHide(body []byte) bool {
	if bytes.Contains(body, []byte(`\u00`)) || bytes.Contains(body, []byte(`\b`)) || bytes.Contains(body, []byte(`\f`)) || bytes.Contains(body, []byte("\x7f")) {
		return true
	}
	return bytes.ContainsFunc(body, hidden)
}

func checkWritten(field string, value any) error {
	switch v := value.(type) {
	case string:
		if at := strings.IndexFunc(v, hidden); at >= 0 {
			r := []rune(v[at:])[0]
			return invalid(field, nil, "holds the character %U, which cannot be seen or changes how the rest is read: take it out", r)
		}
	case []any:
		for _, part := range v {
			if err := checkWritten(field, part); err != nil {
				return err
			}
		}
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			if err := checkWritten(field, name); err != nil {
				return err
			}
			if err := checkWritten(name, v[name]); err != nil {
				return err
			}
		}
	}
	return nil
}

// hidden says whether a character controls a screen or a printer rather than
// showing there.
func hidden(r rune) bool {
	switch {
	case r == '\n' || r == '\r' || r == '\t':
		return false
	case r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069: // marks, overrides and isolates of direction
		return true
	}
	return unicode.IsControl(r)
}
