package cellar

import (
	"errors"
	"fmt"
)

// ProblemKind is the part of a problem that programs act on.
type ProblemKind string

// The kinds of problem.
const (
	Invalid  ProblemKind = "invalid"   // a value is malformed or out of range
	NotFound ProblemKind = "not found" // a name that the book does not know
	Refused  ProblemKind = "refused"   // well formed, but it cannot have happened
	Conflict ProblemKind = "conflict"  // somebody else wrote something meanwhile
)

// Problem is an error with two voices: a kind for the program, and a sentence
// for a person that names the field and the value and says what to do.
type Problem struct {
	Kind   ProblemKind
	Field  string // column or form field at fault; empty when it is the whole entry
	Value  string // what was written there
	Reason string
}

// Error gives the sentence.
func (p *Problem) Error() string {
	switch {
	case p.Field == "":
		return p.Reason
	case p.Value == "":
		return fmt.Sprintf("%s: %s", p.Field, p.Reason)
	}
	return fmt.Sprintf("%s: %q: %s", p.Field, quoted(p.Value), p.Reason)
}

// longestQuoted is how much of a value a sentence repeats, in characters: more
// than any name has, and less than would hide the reason.
const longestQuoted = 80

func quoted(value string) string {
	if runes := []rune(value); len(runes) > longestQuoted {
		return string(runes[:longestQuoted]) + "…"
	}
	return value
}

// KindOf returns the kind of the first Problem in err's chain, or "".
func KindOf(err error) ProblemKind {
	var p *Problem
	if errors.As(err, &p) {
		return p.Kind
	}
	return ""
}

// under puts a problem under the field in which the value was written, so that
// the reason is not wrapped in the name of the part that found it.
func under(field string, err error) error {
	var p *Problem
	if !errors.As(err, &p) {
		return err
	}
	moved := *p
	moved.Field = field
	return &moved
}

func problem(kind ProblemKind, field string, value any, format string, args ...any) *Problem {
	text := ""
	if value != nil {
		text = fmt.Sprint(value)
	}
	return &Problem{Kind: kind, Field: field, Value: text, Reason: fmt.Sprintf(format, args...)}
}

func invalid(field string, value any, format string, args ...any) *Problem {
	return problem(Invalid, field, value, format, args...)
}

func notFound(field, value string, format string, args ...any) *Problem {
	return problem(NotFound, field, value, format, args...)
}

func refused(field string, value any, format string, args ...any) *Problem {
	return problem(Refused, field, value, format, args...)
}
