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

// day is a flag whose value is a date. The zero value is none.
type day cellar.Day

func dayFlag(f *flag.FlagSet, name, usage string) *day {
	d := new(day)
	f.Var(d, name, usage)
	return d
}

// String implements flag.Value.
func (d *day) String() string {
	if d == nil || *d == 0 {
		return ""
	}
	return cellar.Day(*d).String()
}

// Set implements flag.Value.
func (d *day) Set(text string) error {
	read, err := cellar.ParseDay(text)
	var p *cellar.Problem
	if errors.As(err, &p) {
		return errors.New(p.Reason)
	}
	*d = day(read)
	return err
}
