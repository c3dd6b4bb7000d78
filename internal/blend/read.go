package blend

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// reader takes the fields of one JSON object, noting what is wrong. Paths are
// put together only for what is wrong: a plan may have thousands of sources.
type reader struct {
	path   string
	fields []field
	found  *problems
}

// object starts on an object whose fields may only be those named.
func object(t tree, path string, found *problems, allowed ...string) (reader, bool) {
	if t.kind != isObject {
		found.add(path, "%s is not an object {…}", t.what())
		return reader{}, false
	}
	for i := range t.parts {
		if name := t.parts[i].name; !slices.Contains(allowed, name) {
			found.add(join(path, name), "is not a field of a plan here; the fields are %s", strings.Join(allowed, ", "))
		}
	}
	return reader{path, t.parts, found}, true
}

// field finds a field, nil when it is not there.
func (r reader) field(name string) *tree {
	for i := range r.fields {
		if r.fields[i].name == name {
			return &r.fields[i].value
		}
	}
	return nil
}

func (r reader) has(name string) bool { return r.field(name) != nil }

// number reads an optional number; the second result says whether it is there and good.
func (r reader) number(name string, in scope) (float64, bool) {
	t := r.field(name)
	if t == nil {
		return 0, false
	}
	return number(t, r.path, name, in, r.found)
}

// known reads an optional number whose absence means not known.
func (r reader) known(name string, in scope) *float64 {
	if v, ok := r.number(name, in); ok {
		return &v
	}
	return nil
}

// needed reads a number that must be there.
func (r reader) needed(name string, in scope) float64 {
	if !r.has(name) {
		r.found.add(join(r.path, name), "is missing; give a number%s", in.hint())
		return 0
	}
	v, _ := r.number(name, in)
	return v
}

func number(t *tree, path, name string, in scope, found *problems) (float64, bool) {
	if t.kind != isNumber {
		found.add(join(path, name), "%s is not a number", t.what())
		return 0, false
	}
	v, err := strconv.ParseFloat(t.text, 64)
	if err != nil || math.IsInf(v, 0) {
		found.add(join(path, name), "%s is not finite", t.what())
		return 0, false
	}
	if !in.holds(v) {
		found.add(join(path, name), "%s %s", t.what(), in.fault())
		return 0, false
	}
	return v, true
}

func (r reader) text(name string) (string, bool) {
	t := r.field(name)
	if t == nil {
		return "", false
	}
	if t.kind != isText {
		r.found.add(join(r.path, name), "%s is not a text in quotes", t.what())
		return "", false
	}
	return t.text, true
}

func (r reader) flag(name string, otherwise bool) bool {
	t := r.field(name)
	if t == nil {
		return otherwise
	}
	if t.kind != isTrue && t.kind != isFalse {
		r.found.add(join(r.path, name), "%s is neither true nor false", t.what())
	}
	return t.kind == isTrue
}

// list returns the items of an optional list, as fields without names.
func (r reader) list(name string, most int) []field {
	t := r.field(name)
	if t == nil {
		return nil
	}
	if t.kind != isArray {
		r.found.add(join(r.path, name), "%s is not a list […]", t.what())
		return nil
	}
	if len(t.parts) > most {
		r.found.add(join(r.path, name), "has %d items; the most is %d", len(t.parts), most)
		return nil
	}
	return t.parts
}

// numbers reads an optional object of numbers by name.
func (r reader) numbers(name string, in scope) map[string]float64 {
	t := r.field(name)
	if t == nil {
		return nil
	}
	if t.kind != isObject {
		r.found.add(join(r.path, name), "%s is not an object of numbers {…}", t.what())
		return nil
	}
	out := make(map[string]float64, len(t.parts))
	for i := range t.parts {
		f := &t.parts[i]
		if f.name == "" {
			r.found.add(join(r.path, name), "has a number without a name")
			continue
		}
		if in.plain(&f.value, out, f.name) {
			continue
		}
		if v, ok := number(&f.value, join(r.path, name), f.name, in, r.found); ok {
			out[f.name] = v
		}
	}
	return out
}

// plain takes the usual case, a number in range, without making its path.
func (s scope) plain(t *tree, into map[string]float64, name string) bool {
	if t.kind != isNumber {
		return false
	}
	v, err := strconv.ParseFloat(t.text, 64)
	if err != nil || !s.holds(v) {
		return false
	}
	into[name] = v
	return true
}

// names returns the keys in order, so that nothing hangs on the order of a map.
func names(m map[string]float64) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// scope is the range of a number; open says that low itself is too little.
type scope struct {
	low, high float64
	open      bool
}

func (s scope) holds(v float64) bool {
	if s.open {
		return v > s.low && v <= s.high
	}
	return v >= s.low && v <= s.high
}

func (s scope) fault() string {
	if s.open {
		return fmt.Sprintf("is outside above %v up to %v", s.low, plainNumber(s.high))
	}
	return fmt.Sprintf("is outside %v to %v", plainNumber(s.low), plainNumber(s.high))
}

func (s scope) hint() string {
	if s.open {
		return fmt.Sprintf(" above %v", s.low)
	}
	return fmt.Sprintf(" of %v to %v", plainNumber(s.low), plainNumber(s.high))
}

func plainNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
