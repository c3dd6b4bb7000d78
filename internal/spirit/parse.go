package spirit

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// ParseError says why something that a person typed was not taken.
type ParseError struct {
	Field string // what it was meant to be
	Text  string // what was typed
	Why   string // the reason, and what to type instead
}

// Error names the field, what was typed and what to do.
func (e *ParseError) Error() string { return fmt.Sprintf("%s %q: %s", e.Field, e.Text, e.Why) }

// longestNumber is the longest text taken for a number, in bytes.
const longestNumber = 40

// ParseNumber reads a plain decimal number with a point as decimal mark: 46.2,
// -3, .5. A comma, a mark between thousands, an exponent, "inf" and the like
// are refused with the reason: a wrong guess at a decimal mark is a factor of ten.
func ParseNumber(field, text string) (float64, error) {
	number := strings.TrimSpace(text)
	if why := notPlain(number); why != "" {
		return 0, &ParseError{field, clipped(text), why}
	}
	v, err := strconv.ParseFloat(strings.Replace(number, minusSign, "-", 1), 64)
	if err != nil {
		return 0, &ParseError{field, clipped(text), "type a plain number such as 46.2"}
	}
	return v, nil
}

// minusSign is the typographic minus, which some keyboards give.
const minusSign = "−"

// notPlain returns why a text is no plain decimal number, or nothing.
func notPlain(number string) string {
	if number == "" {
		return "it is empty; type a number such as 46.2"
	}
	if len(number) > longestNumber {
		return "it is too long for a number"
	}
	digits := strings.TrimPrefix(strings.TrimPrefix(number, minusSign), "-")
	if digits == number {
		digits = strings.TrimPrefix(number, "+")
	}
	if strings.ContainsAny(digits, ",·٫’'") {
		return "use a point as the decimal mark, and nothing between thousands"
	}
	if strings.Count(digits, ".") > 1 {
		return "there is more than one point; leave out marks between thousands"
	}
	whole := strings.Replace(digits, ".", "", 1)
	if whole == "" || strings.Trim(whole, "0123456789") != "" {
		return "type a plain number such as 46.2"
	}
	return ""
}

// clipped keeps a message readable when somebody pastes a page into a field.
func clipped(text string) string {
	text = strings.ToValidUTF8(text, "?")
	shown := 0
	for at := range text {
		if shown == longestNumber {
			return text[:at] + "…"
		}
		shown++
	}
	return text
}

// unitsOf are what may follow a reading, each taken as the scale it belongs to.
var unitsOf = [...][]string{
	ScaleStrength: {"% vol", "%vol", "% abv", "%abv", "%"},
	ScaleProof:    {"°proof", "° proof", "proof"},
	ScaleDensity:  {"kg/m³", "kg/m3", "g/l"},
	ScaleGravity:  {"sg"},
}

// ParseReading reads what a stem of the given scale shows, with or without its
// unit: 46.2, 46.2 %, 92.4 proof, 935.1 kg/m³. The unit of another scale is
// refused, and so is a number that no stem of the scale carries.
func ParseReading(text string, s Scale) (float64, error) {
	number, unit, found := unitAfter(text)
	if found && unit != s {
		why := fmt.Sprintf("the unit is that of the scale %s, but the scale is %s; change one of them", unit, s)
		return 0, &ParseError{"reading", clipped(text), why}
	}
	v, err := ParseNumber("reading", number)
	if err != nil {
		return 0, err
	}
	m := s.marks()
	if low, high := min(m.weak, m.strong), max(m.weak, m.strong); !inRange(v, low, high) {
		return 0, &RangeError{"reading", m.unit, v, low, high}
	}
	return v, nil
}

// unitAfter splits off a unit of any scale.
func unitAfter(text string) (number string, s Scale, found bool) {
	number = strings.TrimSpace(text)
	for scale, units := range unitsOf {
		for _, unit := range units {
			if rest, ok := cutSuffixFold(number, unit); ok {
				return rest, Scale(scale), true
			}
		}
	}
	return number, 0, false
}

// ParseStrength reads a strength of 0 to 100 % vol, with or without "%".
func ParseStrength(text string) (Strength, error) {
	v, err := ParseReading(text, ScaleStrength)
	return Strength(v), renamed(err, "strength")
}

// ParseProof reads a US proof of 0 to 200, with or without "proof".
func ParseProof(text string) (Proof, error) {
	v, err := ParseReading(text, ScaleProof)
	return Proof(v), renamed(err, "proof")
}

// renamed gives an error the name of the field that was really meant.
func renamed(err error, field string) error {
	switch e := err.(type) {
	case *ParseError:
		e.Field = field
	case *RangeError:
		e.Quantity = field
	}
	return err
}

// ParseCelsius reads the temperature of a liquid, -20 to +40 °C: 12, 12C,
// 12 °C, 53.6F, 53.6 °F. Without a unit it is °C.
func ParseCelsius(text string) (Celsius, error) {
	number := strings.TrimSpace(text)
	fahrenheit := false
	if strings.EqualFold(strings.TrimLeft(number, "+-"+minusSign), "inf") { // its last letter is no unit
		return 0, &ParseError{"temperature", clipped(text), "type a plain number such as 12.5"}
	}
	if rest, ok := cutDegrees(number, "f"); ok {
		number, fahrenheit = rest, true
	} else if rest, ok := cutDegrees(number, "c"); ok {
		number = rest
	}
	v, err := ParseNumber("temperature", number)
	if err != nil {
		return 0, err
	}
	if !fahrenheit {
		return Celsius(v), checkTemperature(Celsius(v))
	}
	t := Fahrenheit(v).Celsius()
	if checkTemperature(t) != nil {
		return 0, &RangeError{
			"temperature", "°F", v,
			float64(ColdestLiquid.Fahrenheit()), float64(WarmestLiquid.Fahrenheit()),
		}
	}
	return t, nil
}

// cutDegrees removes a unit letter and the degree sign before it.
func cutDegrees(text, letter string) (string, bool) {
	rest, ok := cutSuffixFold(text, letter)
	return strings.TrimSuffix(rest, "°"), ok
}

// cutSuffixFold removes a suffix written in any case, and space before it.
func cutSuffixFold(text, suffix string) (string, bool) {
	if len(text) < len(suffix) || !strings.EqualFold(text[len(text)-len(suffix):], suffix) {
		return text, false
	}
	return strings.TrimRightFunc(text[:len(text)-len(suffix)], unicode.IsSpace), true
}
