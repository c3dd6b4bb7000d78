package blend

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
)

// tree is JSON read without loss: objects keep the order of their fields and
// numbers their digits, and a field given twice is refused, which encoding/json
// alone would let through.
type tree struct {
	kind   treeKind
	text   string  // of a text, a number, true, false or null
	fields []field // of an object
	items  []tree  // of an array
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
	t := s.value("", 0)
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
	return &InvalidPlan{[]Problem{{"", fmt.Sprintf("line %d: not valid JSON: %v", line, err)}}}
}

// scanner walks text that is known to be well-formed JSON. What it reads
// shares the text's memory.
type scanner struct {
	data  string
	at    int
	found *problems
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

func (s *scanner) value(path string, depth int) tree {
	if depth > deepest {
		if len(s.found.list) == 0 {
			s.found.add(path, "is nested more than %d deep", deepest)
		}
		depth = deepest // well-formed text ends; json.Valid has bounded its depth
	}
	switch s.next() {
	case '{':
		return s.object(path, depth)
	case '[':
		return s.array(path, depth)
	case '"':
		return tree{kind: isText, text: s.quoted()}
	}
	return s.word()
}

func (s *scanner) object(path string, depth int) tree {
	const usual = 8 // fields, to begin with
	t := tree{kind: isObject, fields: make([]field, 0, usual)}
	for s.at++; s.next() != '}'; {
		name := s.quoted()
		for i := range t.fields {
			if t.fields[i].name == name {
				s.found.add(join(path, name), "is given twice")
			}
		}
		inside := path
		if s.next(); s.data[s.at] == '{' || s.data[s.at] == '[' {
			inside = join(path, name)
		}
		t.fields = append(t.fields, field{name, s.value(inside, depth+1)})
	}
	s.at++
	return t
}

func (s *scanner) array(path string, depth int) tree {
	t := tree{kind: isArray}
	for s.at++; s.next() != ']'; {
		inside := path
		if s.data[s.at] == '{' || s.data[s.at] == '[' {
			inside = fmt.Sprintf("%s[%d]", path, len(t.items))
		}
		t.items = append(t.items, s.value(inside, depth+1))
	}
	s.at++
	return t
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
