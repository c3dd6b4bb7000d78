package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"io"
	"strings"
)

// event is a line of `go test -json`.
type event struct {
	Action      string
	Package     string
	ImportPath  string // of a package that does not build
	Test        string
	Output      string
	Elapsed     float64 // seconds
	FailedBuild string
}

// most is how much output of one test is kept, from its end.
const most = 64 << 10

// gathering is what is known of the tests that are running.
type gathering struct {
	report *report
	output map[string]string // by package and test
	failed map[string]bool   // packages in which a test has failed
}

// readEvents counts tests in the report as they end, and prints a line for
// each package. What is not an event is shown as it is.
func readEvents(in *bufio.Reader, r *report) error {
	g := &gathering{r, map[string]string{}, map[string]bool{}}
	for {
		line, err := in.ReadBytes('\n')
		var e event
		if len(line) == 0 || json.Unmarshal(line, &e) != nil {
			if text := strings.TrimSpace(string(line)); text != "" {
				r.note("%s", text)
			}
		} else {
			g.take(e)
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

func (g *gathering) take(e event) {
	key := e.Package + " " + e.Test
	switch e.Action {
	case "output":
		g.keep(key, e.Output)
	case "build-output":
		g.keep("build "+e.ImportPath, e.Output)
	case "pass", "skip", "fail":
		if e.Test == "" {
			g.endPackage(e)
		} else {
			g.endTest(e, key)
		}
		delete(g.output, key)
	}
}

func (g *gathering) keep(key, output string) {
	all := g.output[key] + output
	g.output[key] = all[max(0, len(all)-most):]
}

func (g *gathering) endTest(e event, key string) {
	switch e.Action {
	case "pass":
		g.report.pass()
	case "skip":
		g.report.skip()
		g.report.note("skipped %s: %s", key, strings.TrimSpace(g.output[key]))
	case "fail":
		g.failed[e.Package] = true
		g.report.fail(key, g.output[key])
	}
}

// endPackage fails a package of which no test has failed: it does not build,
// panicked, raced or took too long.
func (g *gathering) endPackage(e event) {
	switch {
	case e.Action == "fail" && e.FailedBuild != "":
		g.report.fail(e.Package+" does not build", g.output["build "+e.FailedBuild])
	case e.Action == "fail" && !g.failed[e.Package]:
		g.report.fail(e.Package, g.unfinished(e.Package))
	case e.Action == "pass":
		g.report.note("%6.1f s  %s", e.Elapsed, e.Package)
	}
}

// unfinished returns what a package and those of its tests that never ended have printed.
func (g *gathering) unfinished(name string) string {
	output := g.output[name+" "]
	for key, text := range g.output {
		if strings.HasPrefix(key, name+" ") && key != name+" " {
			output += text
		}
	}
	return output
}
