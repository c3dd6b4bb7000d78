package blend

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// tree is JSON read without loss: objects keep the order of their fields and
// numbers their digits, and a field given twice is refused, which encoding/json
// alone would let through.
type tree struct {
	kind  treeKind
	text  string  // of a text, a number, true, false or null
	parts []field // fields of an object; items of an array, without names
}

type treeKind uint8

const (
	isNull treeKind = iota
	isTrue
	isFalse
	isNumber
	isText
	isArray
	isObject
)

type field struct {
	name  string
	value tree
}

// deepest is more than any plan nests.
const deepest = 16

// readTree reads one JSON value and nothing after it.
func readTree(data []byte) (tree, error) {
	if err := wellFormed(data); err != nil {
		return tree{}, err
	}
	s := &scanner{data: string(data), found: &problems{}}
	t := s.value()
	return t, s.found.err()
}

// wellFormed leaves the form of JSON to encoding/json and adds the line.
func wellFormed(data []byte) error {
	if json.Valid(data) {
		return nil
	}
	var any json.RawMessage
	err := json.Unmarshal(data, &any)
	offset := len(data)
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		offset = min(int(syntax.Offset), len(data))
	}
	line := 1 + bytes.Count(data[:offset], []byte("\n"))
	why := fmt.Sprintf("what begins with %q cannot stand there", data[max(0, offset-1):min(len(data), offset+10)])
	if strings.HasPrefix(err.Error(), "unexpected end") { // the library has no type for it
		why = "it ends before it is whole"
	}
	return &InvalidPlan{[]Problem{{"", fmt.Sprintf("line %d: not valid JSON: %s", line, why)}}}
}

// scanner walks text that is known to be well-formed JSON. What it reads
// shares the text's memory, and fields are kept close together.
type scanner struct {
	data  string
	at    int
	path  []place // where it is
	open  []field // fields and items of what is not read to its end
	spare []field
	found *problems
}

// place is one step of a path: a field's name, or the index of an item.
type place struct {
	name  string
	index int
}

// where spells the path out.
func (s *scanner) where() string {
	text := ""
	for _, p := range s.path {
		if p.name == "" {
			text += "[" + strconv.Itoa(p.index) + "]"
		} else {
			text = join(text, p.name)
		}
	}
	return text
}

// kept moves what was opened since `from` to its place.
func (s *scanner) kept(from int) []field {
	n := len(s.open) - from
	if len(s.spare) < n {
		s.spare = make([]field, max(n, 1024))
	}
	list := s.spare[:n:n]
	s.spare = s.spare[n:]
	copy(list, s.open[from:])
	s.open = s.open[:from]
	return list
}

// next skips white space, commas and colons and returns the byte after them.
func (s *scanner) next() byte {
	for {
		switch c := s.data[s.at]; c {
		case ' ', '\t', '\n', '\r', ',', ':':
			s.at++
		default:
			return c
		}
	}
}

func (s *scanner) value() tree {
	if len(s.path) > deepest && len(s.found.list) == 0 {
		s.found.add(s.where(), "is nested more than %d deep", deepest)
	}
	switch s.next() {
	case '{':
		return s.object()
	case '[':
		return s.array()
	case '"':
		return tree{kind: isText, text: s.quoted()}
	}
	return s.word()
}

func (s *scanner) object() tree {
	from := len(s.open)
	for s.at++; s.next() != '}'; {
		name := s.quoted()
		s.path = append(s.path, place{name: name})
		for _, f := range s.open[from:] {
			if f.name == name {
				s.found.add(s.where(), "is given twice")
			}
		}
		value := s.value()
		s.open = append(s.open, field{name, value})
		s.path = s.path[:len(s.path)-1]
	}
	s.at++
	return tree{kind: isObject, parts: s.kept(from)}
}

func (s *scanner) array() tree {
	from := len(s.open)
	for s.at++; s.next() != ']'; {
		s.path = append(s.path, place{index: len(s.open) - from})
		value := s.value()
		s.open = append(s.open, field{"", value})
		s.path = s.path[:len(s.path)-1]
	}
	s.at++
	return tree{kind: isArray, parts: s.kept(from)}
}

// quoted reads a text; one with escapes or odd bytes is left to encoding/json.
func (s *scanner) quoted() string {
	start, plain := s.at, true
	for s.at++; s.data[s.at] != '"'; s.at++ {
		if s.data[s.at] == '\\' {
			s.at++
			plain = false
		}
		plain = plain && s.data[s.at] < 0x80
	}
	s.at++
	if plain {
		return s.data[start+1 : s.at-1]
	}
	var text string
	if err := json.Unmarshal([]byte(s.data[start:s.at]), &text); err != nil {
		s.found.add("", "not valid JSON: %v", err)
	}
	return text
}

// word reads a number, true, false or null.
func (s *scanner) word() tree {
	start := s.at
	for s.at < len(s.data) && !ends(s.data[s.at]) {
		s.at++
	}
	t := tree{text: s.data[start:s.at]}
	switch t.text {
	case "null":
		t.kind = isNull
	case "true":
		t.kind = isTrue
	case "false":
		t.kind = isFalse
	default:
		t.kind = isNumber
	}
	return t
}

// ends says whether a byte ends a word.
func ends(c byte) bool {
	switch c {
	case ' ', '\t', '\r', '\n', ',', ':', ']', '}':
		return true
	}
	return false
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// what names a value for a message, shortened.
func (t tree) what() string {
	text := t.text
	switch t.kind {
	case isObject:
		return "an object"
	case isArray:
		return "a list"
	case isText:
		text = fmt.Sprintf("%q", t.text)
	}
	if len(text) > 60 {
		text = text[:57] + "…"
	}
	return text
}
