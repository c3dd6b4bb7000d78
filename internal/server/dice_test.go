package server_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"time"

	"example.org/croze/internal/cellar"
)

// dice turns the bytes of a fuzzed input into choices, one byte for each. When
// they are used up every choice is the first.
type dice struct {
	left   []byte
	hashed bool // a password was worked out already
}

func (d *dice) roll(n int) int {
	if len(d.left) == 0 {
		return 0
	}
	b := d.left[0]
	d.left = d.left[1:]
	return int(b) % n
}

func pick[T any](d *dice, from ...T) T { return from[d.roll(len(from))] }

// oddTexts are what a name or a note should not be, or may surprisingly be.
var oddTexts = []string{
	"", " ", ".", "..", "/", "A/B?c#d%2e", "RYE-1 ", "rye  1", "РYЕ-1", "\u202Etxt", "\x00", "\x1b[2J", "\u2028", "=1+1", "<script>", "'\"&", "e\u0301",
	"batch:R1", "vessel:RYE-1", "batch:", "lot:L1", ":", "7K4-M2X", "\xff", strings.Repeat("ü", 61), strings.Repeat("W", 5000), "null", "木", "0",
}

// oddNumbers are at and beyond the edges of what a measure can be.
var oddNumbers = []any{
	0, -1, 1e-9, 0.001, 0.0009, 1e6, 1e6 + 1, 1e18, 1e308, 5e-324, 99.99999, 100.0001, -20.001, 40.001, 20, 15.56, 0.5, 3, 60,
	json.Number("-0"), json.Number("1e999"), "61", true, []int{1}, map[string]int{}, nil,
}

// fieldsOf are the fields of a request as JSON names them, those to come as well.
var fieldsOf = func() (fields []reflect.StructField) {
	t := reflect.TypeFor[cellar.Request]()
	for i := range t.NumField() {
		fields = append(fields, t.Field(i))
	}
	return fields
}()

func jsonName(f reflect.StructField) string {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	return name
}

// usual are the fields of each kind that a careful hand fills in.
var usual = map[string][]string{
	"sample": {"vessel", "strength_pct", "drawn_l", "senses"}, "fill": {"vessel", "from", "volume_l", "strength_pct"}, "draw": {"vessel", "volume_l", "strength_pct"},
	"top_up": {"vessel", "from", "volume_l"}, "transfer": {"vessel", "from", "volume_l", "all"}, "reduce": {"vessel", "water_kg"}, "blend": {"vessel", "draws", "water_kg"},
	"bottle": {"vessel", "lot", "bottles", "label_pct"}, "empty": {"vessel"}, "rinse": {"vessel", "water_kg", "into"}, "spill": {"vessel", "volume_l"},
	"move": {"vessel", "place", "row", "tier"}, "note": {"vessel", "note"}, "void": {"void", "note"}, "round_skip": {"vessel", "round", "note"},
	"aim": {"vessel", "on", "for"}, "relabel": {"vessel"},
}

// entry is a kind with what it needs, and up to three fields that are odd.
func (d *dice) entry(written []string) map[string]any {
	kind := pick(d, cellar.EntryKinds...)
	e := map[string]any{"entry": kind, "sure": true, "when": d.when()}
	for _, name := range usual[kind] {
		e[name] = d.right(name, written)
	}
	for range pick(d, 0, 0, 0, 1, 3) {
		f := fieldsOf[d.roll(len(fieldsOf))]
		e[jsonName(f)] = d.value(f.Type, 0)
	}
	switch d.roll(12) {
	case 1:
		delete(e, pick(d, append(usual[kind], "when", "sure")...))
	case 2:
		e[pick(d, "nota", "Entry", "hash", "seq", "__proto__")] = pick(d, oddTexts...)
	}
	return e
}

func (d *dice) when() any {
	if d.roll(10) == 1 {
		return pick[any](d, "", "yesterday", "0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z", "2026-11-25T12:00:00+99:00", 7, "2026-11-25", "1969-12-31T23:59:59Z", "2027-01-01T00:00:00Z")
	}
	return today.Add(-time.Duration(d.roll(200)) * 49 * time.Hour)
}

// right is a value that can well stand in a field.
func (d *dice) right(name string, written []string) any {
	switch name {
	case "vessel", "into":
		return pick(d, rye, oat, spare, "rye-1")
	case "from":
		return pick(d, "R1", rye, oat, spare, "batch:R1")
	case "void", "round":
		return pick(d, append(written, "01KAYQ5W000000000000000000")...)
	case "draws":
		return []any{map[string]any{"from": pick(d, rye, oat), "volume_l": d.litres()}, map[string]any{"from": pick(d, spare, "R1"), "all": true}}[:1+d.roll(2)]
	case "bottles":
		return []any{map[string]any{"size_l": pick(d, 0.5, 0.7, 0.05), "count": 1 + d.roll(30)}}
	case "senses":
		return map[string]any{"nose": "apple", "scores": map[string]int{"fruit": d.roll(11)}}
	case "lot", "note", "row", "tier", "place":
		return pick(d, "L1", "Lower store", "x", "North bay")
	case "on":
		return pick(d, "2027-03-01", "2026-12-24")
	case "for":
		return pick(d, "look", "bottle", "")
	case "all":
		return d.roll(2) == 1
	case "strength_pct", "label_pct":
		return pick(d, 63.0, 61.2, 46, 40)
	}
	return d.litres()
}

func (d *dice) litres() float64 { return pick(d, 0.05, 0.5, 1, 3, 10, 25, 39.9, 40) }

// value is anything that JSON can write for a type, and sometimes for another.
func (d *dice) value(t reflect.Type, depth int) any {
	if d.roll(8) == 1 || depth > 3 {
		return pick(d, oddNumbers...)
	}
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case t == reflect.TypeFor[time.Time]():
		return d.when()
	case t.Kind() == reflect.String || t == reflect.TypeFor[cellar.Day]():
		return pick(d, append([]string{rye, oat, spare, "R1", "vol", "proof", "density", "sg", "2026-12-01"}, oddTexts...)...)
	case t.Kind() == reflect.Bool:
		return d.roll(2) == 1
	case t.Kind() == reflect.Slice:
		list := make([]any, d.roll(4))
		for i := range list {
			list[i] = d.value(t.Elem(), depth+1)
		}
		return list
	case t.Kind() == reflect.Map:
		return map[string]any{pick(d, oddTexts...): d.value(t.Elem(), depth+1), "fruit": d.roll(12)}
	case t.Kind() == reflect.Struct:
		return d.object(t, depth)
	}
	return pick(d, append([]any{d.litres()}, oddNumbers...)...)
}

// object fills in some fields of a struct.
func (d *dice) object(t reflect.Type, depth int) map[string]any {
	o := make(map[string]any)
	for i := range t.NumField() {
		if d.roll(2) == 1 {
			o[jsonName(t.Field(i))] = d.value(t.Field(i).Type, depth+1)
		}
	}
	return o
}

// sequenceSeeds has a plain entry of every kind, and a long story of all of them.
func sequenceSeeds() (seeds [][]byte) {
	var story []byte
	for kind := range cellar.EntryKinds {
		plain := []byte{byte(kind), 0, byte(kind), 1, 2, 3, 0, 0}
		seeds, story = append(seeds, plain), append(story, plain...)
	}
	for i := range 4 {
		seeds = append(seeds, story[8*i:])
	}
	seeds = append(seeds, []byte(fmt.Sprint(oddTexts)))
	return seeds
}
