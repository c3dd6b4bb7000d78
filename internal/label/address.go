package label

import (
	"fmt"
	"net/url"
	"strings"
	"unicode/utf8"

	"example.org/croze/internal/cellar"
)

// Thing is what a label belongs to. It is the letter in front of the code in
// the address: HTTPS://HOST/V/7K4-M2X.
type Thing string

// The things that carry labels.
const (
	Vessel    Thing = "V"
	Batch     Thing = "B"
	BottleLot Thing = "L"
	Sample    Thing = "S"
)

func (t Thing) known() bool {
	return t == Vessel || t == Batch || t == BottleLot || t == Sample
}

// Address returns what the QR code of a thing holds: its address under the
// public address of the store, in capitals, with every character outside the
// alphanumeric mode of the QR standard percent-encoded. Host names do not mind
// capitals; the store must read paths and codes without regard to case.
func Address(publicURL string, thing Thing, code string) (string, error) {
	base, err := url.Parse(strings.TrimSpace(publicURL))
	switch {
	case err != nil || base.Host == "" || base.Scheme != "http" && base.Scheme != "https":
		return "", fmt.Errorf("public address: %q: is no web address: write one like https://cellar.example", publicURL)
	case base.User != nil || base.RawQuery != "" || base.Fragment != "":
		return "", fmt.Errorf("public address: %q: must not hold a user, a question mark or a hash: write only host and path", publicURL)
	case !thing.known():
		return "", fmt.Errorf("label: %q is no kind of thing that carries labels", thing)
	case !nameable(code):
		return "", fmt.Errorf("label: code: %q: must have 1 to %d characters and no control characters", code, longestCode)
	}
	path := strings.TrimRight(base.EscapedPath(), "/")
	return strings.ToUpper(base.Scheme+"://"+base.Host+path) + "/" + string(thing) + "/" + dense(code), nil
}

func nameable(code string) bool {
	return strings.TrimSpace(code) != "" && utf8.ValidString(code) &&
		utf8.RuneCountInString(code) <= longestCode && !strings.ContainsFunc(code, isControl)
}

func isControl(r rune) bool { return r < ' ' || r >= 0x7f && r < 0xa0 }

// dense puts a code in capitals and percent-encodes what may not stand in a
// path segment or is not of the alphanumeric mode.
func dense(code string) string {
	var b strings.Builder
	for _, c := range []byte(strings.ToUpper(code)) {
		if c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c == '-' || c == '.' {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "%%%02X", c)
		}
	}
	return b.String()
}

const longestScan = 2000

// Scan reads what a scanner gave: an address made by Address, of this server
// or any other, or a vessel's bare code. A vessel's code comes back in the form
// that cellar.ParseCode gives it, any other thing's in capitals.
func Scan(text string) (thing Thing, code string, ok bool) {
	text = strings.TrimSpace(text)
	if len(text) > longestScan {
		return "", "", false
	}
	if !strings.Contains(text, "://") {
		code, ok = vesselCode(text)
		return Vessel, code, ok
	}
	address, err := url.Parse(text)
	if err != nil || !strings.EqualFold(address.Scheme, "https") && !strings.EqualFold(address.Scheme, "http") {
		return "", "", false
	}
	segments := strings.Split(strings.Trim(address.EscapedPath(), "/"), "/")
	if len(segments) < 2 {
		return "", "", false
	}
	thing = Thing(strings.ToUpper(segments[len(segments)-2]))
	code, err = url.PathUnescape(segments[len(segments)-1])
	if err != nil || !thing.known() || !nameable(code) {
		return "", "", false
	}
	if thing == Vessel {
		code, ok = vesselCode(code)
		return thing, code, ok
	}
	return thing, code, true
}

func vesselCode(text string) (string, bool) {
	code, _, err := cellar.ParseCode(text)
	return code, err == nil
}

// CodeFromScan reads a vessel's code out of what a scanner gave: the address on
// a label, whichever server it names, or the bare code. It is not ok when the
// text is neither, the check character is wrong or the label is of something
// else than a vessel.
func CodeFromScan(text string) (code string, ok bool) {
	thing, code, ok := Scan(text)
	if !ok || thing != Vessel {
		return "", false
	}
	return code, true
}
