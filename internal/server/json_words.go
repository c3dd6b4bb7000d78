package server

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"time"

	"example.org/croze/internal/cellar"
)

// longestQuote is how much of a wrong value an answer repeats, in characters.
const longestQuote = 40

// jsonProblem says in plain words why a body is not the JSON that was asked
// for: the field and the value, not the types of this program.
func jsonProblem(what string, err error) *cellar.Problem {
	var (
		wrong  *json.UnmarshalTypeError
		syntax *json.SyntaxError
		moment *time.ParseError
		inner  *cellar.Problem
	)
	bad := &cellar.Problem{Kind: cellar.Invalid, Field: "body"}
	switch {
	case errors.As(err, &inner):
		return inner
	case errors.As(err, &wrong) && wrong.Field == "":
		bad.Reason = fmt.Sprintf("not %s: it is %s and should be an object {…}", what, spokenValue(wrong.Value))
	case errors.As(err, &wrong):
		bad.Field, bad.Reason = leafOf(wrong.Field), fmt.Sprintf("is %s and should be %s", spokenValue(wrong.Value), spokenType(wrong.Type))
	case errors.As(err, &syntax):
		bad.Reason = fmt.Sprintf("not %s: it is no JSON at byte %d", what, syntax.Offset)
	case errors.As(err, &moment):
		bad.Field, bad.Value, bad.Reason = "when", quoted(strings.Trim(moment.Value, `"`)), "not a time: write it as 2026-03-01T14:30:00Z"
	case strings.HasPrefix(err.Error(), noTime):
		bad.Field, bad.Reason = "when", "not a time: write it as 2026-03-01T14:30:00Z, between quotation marks"
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		bad.Reason = fmt.Sprintf("not %s: the JSON ends before it is whole", what)
	case strings.HasPrefix(err.Error(), unknownField):
		bad.Field, bad.Reason = quoted(strings.Trim(strings.TrimPrefix(err.Error(), unknownField), `"`)), "is no field of "+what
	default:
		bad.Reason = fmt.Sprintf("not %s: a value is not of the form that its field has", what)
	}
	return bad
}

// How the standard library begins errors that have no type of their own.
const (
	unknownField = "json: unknown field "
	noTime       = "Time.UnmarshalJSON"
)

// leafOf is the name under which the value was written: the parts of an
// embedded struct before it are the program's own.
func leafOf(path string) string { return path[strings.LastIndex(path, ".")+1:] }

// spokenValue puts the library's words for a value, such as "number 1e999" or
// "bool", into plain ones.
func spokenValue(value string) string {
	kind, rest, _ := strings.Cut(value, " ")
	switch {
	case kind == "number" && rest != "":
		return quoted(rest)
	case kind == "bool":
		return "true or false"
	case kind == "array":
		return "a list"
	case kind == "object":
		return "an object"
	case kind == "string":
		return "a text"
	}
	return "a " + kind
}

func spokenType(t reflect.Type) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t.Kind() {
	case reflect.Float32, reflect.Float64:
		return "a number of a size that can be, without quotation marks"
	case reflect.Int, reflect.Int64, reflect.Uint, reflect.Uint64:
		return "a whole number"
	case reflect.Bool:
		return "true or false"
	case reflect.Slice, reflect.Array:
		return "a list […]"
	case reflect.Map, reflect.Struct:
		return "an object {…}"
	}
	return "a text between quotation marks"
}

// quoted shortens what an answer repeats.
func quoted(value string) string {
	if runes := []rune(value); len(runes) > longestQuote {
		return string(runes[:longestQuote]) + "…"
	}
	return value
}
