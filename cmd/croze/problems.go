package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// problemText is what a person reads of an error.
func problemText(err error) string {
	var problem *cellar.Problem
	if errors.As(err, &problem) && !errors.As(err, new(*cellar.EntryError)) {
		return problem.Error()
	}
	var path *fs.PathError
	if errors.As(err, &path) && errors.Is(err, fs.ErrNotExist) {
		return fmt.Sprintf("%s: there is no such file", path.Path)
	}
	return err.Error()
}

// tellRows writes problems or warnings of an import, one to a line.
func tellRows(out io.Writer, rows []book.RowProblem) {
	for _, p := range rows {
		if p.Warning {
			p.Reason = "warning: " + p.Reason
		}
		fmt.Fprintln(out, p)
	}
}

// tellPlan writes the problems of a plan file, one to a line.
func tellPlan(out io.Writer, file string, invalid *blend.InvalidPlan) {
	for _, p := range invalid.Problems {
		fmt.Fprintf(out, "%s: %s\n", file, p)
	}
}
