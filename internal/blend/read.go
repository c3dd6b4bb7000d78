package blend

import (
	"encoding/json"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
)

// reader takes the fields of one JSON object, noting what is wrong.
type reader struct {
	path   string
	fields map[string]tree
	found  *problems
}

// object starts on an object whose fields may only be those named.
func object(t tree, path string, found *problems, allowed ...string) (reader, bool) {
	if !t.isObject {
		found.add(path, "%s is not an object {…}", t.what())
		return reader{}, false
	}
	r := reader{path, map[string]tree{}, found}
	for _, f := range t.fields {
		if !contains(allowed, f.name) {
			found.add(join(path, f.name), "is not a field of a plan here; the fields are %s", strings.Join(allowed, ", "))
			continue
		}
		r.fields[f.name] = f.value
	}
	return r, true
}

func contains(list []string, name string) bool {
	for _, s := range list {
		if s == name {
			return true
		}
	}
	return false
}

func (r reader) has(name string) bool { _, ok := r.fields[name]; return ok }

// number reads an optional number; the second result says whether it is there and good.
func (r reader) number(name string, in scope) (float64, bool) {
	t, ok := r.fields[name]
	if !ok {
		return 0, false
	}
	return number(t, join(r.path, name), in, r.found)
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

func number(t tree, path string, in scope, found *problems) (float64, bool) {
	n, ok := t.plain.(json.Number)
	if !ok {
		found.add(path, "%s is not a number", t.what())
		return 0, false
	}
	v, err := strconv.ParseFloat(string(n), 64)
	if err != nil || math.IsInf(v, 0) {
		found.add(path, "%s is not finite", t.what())
		return 0, false
	}
	if !in.holds(v) {
		found.add(path, "%s %s", n, in.fault())
		return 0, false
	}
	return v, true
}

func (r reader) text(name string) (string, bool) {
	t, ok := r.fields[name]
	if !ok {
		return "", false
	}
	s, ok := t.plain.(string)
	if !ok {
		r.found.add(join(r.path, name), "%s is not a text in quotes", t.what())
	}
	return s, ok
}

func (r reader) flag(name string, otherwise bool) bool {
	t, ok := r.fields[name]
	if !ok {
		return otherwise
	}
	b, ok := t.plain.(bool)
	if !ok {
		r.found.add(join(r.path, name), "%s is neither true nor false", t.what())
	}
	return b
}

// list returns the items of an optional list.
func (r reader) list(name string, most int) []tree {
	t, ok := r.fields[name]
	if !ok {
		return nil
	}
	if !t.isArray {
		r.found.add(join(r.path, name), "%s is not a list […]", t.what())
		return nil
	}
	if len(t.items) > most {
		r.found.add(join(r.path, name), "has %d items; the most is %d", len(t.items), most)
		return nil
	}
	return t.items
}

// numbers reads an optional object of numbers by name.
func (r reader) numbers(name string, in scope) map[string]float64 {
	t, ok := r.fields[name]
	if !ok {
		return nil
	}
	path := join(r.path, name)
	if !t.isObject {
		r.found.add(path, "%s is not an object of numbers {…}", t.what())
		return nil
	}
	out := make(map[string]float64, len(t.fields))
	for _, f := range t.fields {
		if f.name == "" {
			r.found.add(path, "has a number without a name")
			continue
		}
		if v, ok := number(f.value, join(path, f.name), in, r.found); ok {
			out[f.name] = v
		}
	}
	return out
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
