package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
)

// pureRooms hold arithmetic, most of it in one goroutine. The race detector
// makes them ten times slower, so they are tested without it. Tests whose
// names have Concurrent, in rooms that start goroutines, run with it as well.
var pureRooms = []string{"spirit", "gauge", "cellar", "loss", "blend", "sensory", "identity", "demo", "picture"}

// testTimeout ends a package that hangs, with the stacks of its goroutines.
const testTimeout = "20m"

func testWithRace(ctx context.Context, o options, r *report) {
	p := testedPackages(ctx, o, r)
	runTests(ctx, o, r, p.others, "-race")
	runTests(ctx, o, r, p.concurrent, "-race", "-run=Concurrent")
}

func testPure(ctx context.Context, o options, r *report) {
	runTests(ctx, o, r, testedPackages(ctx, o, r).pure)
}

// packages are those that are asked for.
type packages struct {
	pure       []string // of the pure rooms
	concurrent []string // those of them that start goroutines
	others     []string
}

// testedPackages returns the packages that are asked for.
func testedPackages(ctx context.Context, o options, r *report) packages {
	format := `{{.ImportPath}} {{join .Imports " "}}`
	out, err := goCommand(ctx, o, append([]string{"list", "-f", format}, o.packages...)...).Output()
	if err != nil {
		r.fail("go list", string(out)+err.Error())
	}
	return sorted(string(out))
}

// sorted reads lines of a package and its imports.
func sorted(lines string) (p packages) {
	for line := range strings.Lines(lines) {
		words := strings.Fields(line)
		switch {
		case len(words) == 0:
		case !isPure(words[0]):
			p.others = append(p.others, words[0])
		default:
			p.pure = append(p.pure, words[0])
			if slices.Contains(words[1:], "sync") {
				p.concurrent = append(p.concurrent, words[0])
			}
		}
	}
	return p
}

func isPure(name string) bool {
	for _, room := range pureRooms {
		if strings.HasSuffix(name, "/internal/"+room) || strings.Contains(name, "/internal/"+room+"/") {
			return true
		}
	}
	return false
}

// runTests runs the tests of packages and counts them as they end.
func runTests(ctx context.Context, o options, r *report, names []string, flags ...string) {
	if len(names) == 0 {
		return
	}
	args := append([]string{"test", "-json", "-count=1", "-timeout=" + testTimeout}, flags...)
	cmd := goCommand(ctx, o, append(args, names...)...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	stdout, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		r.fail("go test", err.Error())
		return
	}
	before := len(r.failures)
	reading := readEvents(bufio.NewReader(stdout), r)
	err = cmd.Wait()
	if reading != nil {
		r.fail("go test", fmt.Sprintf("its events cannot be read: %v\n%s", reading, stderr.String()))
	} else if err != nil && len(r.failures) == before {
		r.fail("go test", stderr.String()+err.Error())
	}
}
