package main

import (
	"errors"
	"flag"
	"fmt"
	"strconv"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// number is a flag whose value is a number with a decimal point. Whether it
// was given is known, so that 0 is not mistaken for nothing.
type number struct {
	value float64
	given bool
}

func numberFlag(f *flag.FlagSet, name, usage string) *number {
	n := new(number)
	f.Var(n, name, usage)
	return n
}

// String implements flag.Value.
func (n *number) String() string {
	if n == nil || !n.given {
		return ""
	}
	return strconv.FormatFloat(n.value, 'f', -1, 64)
}

// Set implements flag.Value.
func (n *number) Set(text string) error {
	x, err := spirit.ParseNumber("number", text)
	var parse *spirit.ParseError
	if errors.As(err, &parse) {
		return errors.New(parse.Why)
	}
	n.value, n.given = x, err == nil
	return err
}

// need returns the number, or says that it is missing.
func (n *number) need(name, what string) (float64, error) {
	if !n.given {
		return 0, fmt.Errorf("--%s: is missing: %s", name, what)
	}
	return n.value, nil
}

// day is a flag whose value is a date.
type day struct {
	value cellar.Day
	given bool
}

// The years that a date may be asked for: others are slips.
const (
	firstYear = cellar.EarliestYear
	lastYear  = 2199
)

func dayFlag(f *flag.FlagSet, name, usage string) *day {
	d := new(day)
	f.Var(d, name, usage)
	return d
}

// String implements flag.Value.
func (d *day) String() string {
	if d == nil || !d.given {
		return ""
	}
	return d.value.String()
}

// Set implements flag.Value.
func (d *day) Set(text string) error {
	read, err := cellar.ParseDay(text)
	var p *cellar.Problem
	if errors.As(err, &p) {
		return errors.New(p.Reason)
	}
	if year := read.Time().Year(); err == nil && (year < firstYear || year > lastYear) {
		return fmt.Errorf("the year must be %d to %d", firstYear, lastYear)
	}
	*d = day{value: read, given: true}
	return err
}

// orNone returns the date, or 0 where none was given, which is also how the
// first day of 1970 is written; that one cannot be asked for.
func (d *day) orNone(name string) (cellar.Day, error) {
	if d.given && d.value == 0 {
		return 0, fmt.Errorf("--%s: %s: this one date cannot be asked for: take the day before or after", name, d)
	}
	return d.value, nil
}
