package blend

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// tree is JSON read without loss: objects keep the order of their fields and
// numbers their digits, and a field given twice is refused, which encoding/json
// alone would let through.
type tree struct {
	fields   []field // an object
	items    []tree  // an array
	plain    any     // string, json.Number, bool or nil
	isObject bool
	isArray  bool
}

type field struct {
	name  string
	value tree
}

// deepest is more than any plan nests.
const deepest = 16

// readTree reads one JSON value and nothing after it.
func readTree(data []byte) (tree, error) {
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	t, err := readValue(d, 0, "")
	if err != nil {
		return tree{}, placed(err, data, d.InputOffset())
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return tree{}, placed(errors.New("there is more after the end of the plan"), data, d.InputOffset())
	}
	return t, nil
}

// placed adds the line that an error of form is on.
func placed(err error, data []byte, offset int64) error {
	if p := (Problem{}); errors.As(err, &p) {
		return &InvalidPlan{[]Problem{p}}
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		err = errors.New("the text ends before the plan does")
	}
	line := 1 + bytes.Count(data[:min(int(offset), len(data))], []byte("\n"))
	return &InvalidPlan{[]Problem{{"", fmt.Sprintf("line %d: not valid JSON: %v", line, err)}}}
}

// Error makes a Problem an error of its own.
func (p Problem) Error() string { return p.String() }

func readValue(d *json.Decoder, depth int, path string) (tree, error) {
	token, err := d.Token()
	if err != nil {
		return tree{}, err
	}
	if depth > deepest {
		return tree{}, Problem{path, fmt.Sprintf("is nested more than %d deep", deepest)}
	}
	switch token {
	case json.Delim('{'):
		return readObject(d, depth, path)
	case json.Delim('['):
		return readArray(d, depth, path)
	}
	return tree{plain: token}, nil
}

func readObject(d *json.Decoder, depth int, path string) (tree, error) {
	t := tree{isObject: true}
	seen := map[string]bool{}
	for d.More() {
		token, err := d.Token()
		if err != nil {
			return tree{}, err
		}
		name, _ := token.(string)
		at := join(path, name)
		if seen[name] {
			return tree{}, Problem{at, "is given twice"}
		}
		seen[name] = true
		value, err := readValue(d, depth+1, at)
		if err != nil {
			return tree{}, err
		}
		t.fields = append(t.fields, field{name, value})
	}
	_, err := d.Token()
	return t, err
}

func readArray(d *json.Decoder, depth int, path string) (tree, error) {
	t := tree{isArray: true}
	for d.More() {
		value, err := readValue(d, depth+1, fmt.Sprintf("%s[%d]", path, len(t.items)))
		if err != nil {
			return tree{}, err
		}
		t.items = append(t.items, value)
	}
	_, err := d.Token()
	return t, err
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// what names a value for a message, shortened.
func (t tree) what() string {
	switch {
	case t.isObject:
		return "an object"
	case t.isArray:
		return "a list"
	case t.plain == nil:
		return "null"
	}
	text := fmt.Sprintf("%v", t.plain)
	if s, ok := t.plain.(string); ok {
		text = fmt.Sprintf("%q", s)
	}
	if len(text) > 60 {
		text = text[:57] + "…"
	}
	return text
}
