package main

import (
	"fmt"
	"io"
	"strings"
	"time"
)

// report counts what passed and keeps what failed.
type report struct {
	out      io.Writer
	start    time.Time
	passed   int
	skipped  int
	failures []failure
}

type failure struct{ name, output string }

// heading begins a stage.
func (r *report) heading(stage string) {
	fmt.Fprintf(r.out, "\n== %s  (%s)\n", stage, r.elapsed())
}

func (r *report) elapsed() time.Duration { return time.Since(r.start).Round(time.Second) }

func (r *report) note(format string, args ...any) {
	fmt.Fprintf(r.out, "   "+format+"\n", args...)
}

func (r *report) pass() { r.passed++ }

func (r *report) skip() { r.skipped++ }

func (r *report) fail(name, output string) {
	r.failures = append(r.failures, failure{name, output})
	r.note("FAILED %s", name)
}

// result passes or fails a check by its error.
func (r *report) result(name, output string, err error) {
	if err == nil {
		r.pass()
		return
	}
	r.fail(name, strings.TrimRight(output, "\n")+"\n"+err.Error())
}

// close prints each failure with its output and the closing line, and returns
// the exit code.
func (r *report) close() int {
	for _, f := range r.failures {
		fmt.Fprintf(r.out, "\n-- failed: %s\n", f.name)
		for line := range strings.Lines(strings.TrimRight(f.output, "\n") + "\n") {
			fmt.Fprint(r.out, "   "+line)
		}
	}
	fmt.Fprintf(r.out, "\n== done in %s\n", r.elapsed())
	for _, f := range r.failures {
		fmt.Fprintf(r.out, "   failed: %s\n", f.name)
	}
	fmt.Fprintf(r.out, "%d passed, %d failed", r.passed, len(r.failures))
	if r.skipped > 0 {
		fmt.Fprintf(r.out, ", %d skipped", r.skipped)
	}
	fmt.Fprintln(r.out)
	if len(r.failures) > 0 {
		return 1
	}
	return 0
}
