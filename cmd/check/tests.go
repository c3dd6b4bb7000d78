package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"strings"
)

// pureRooms hold arithmetic in one goroutine. The race detector finds nothing
// in them and makes them ten times slower, so they are tested without it.
var pureRooms = []string{"spirit", "gauge", "cellar", "loss", "blend", "sensory", "identity"}

// testTimeout ends a package that hangs, with the stacks of its goroutines.
const testTimeout = "20m"

func testWithRace(ctx context.Context, o options, r *report) {
	_, others := testedPackages(ctx, o, r)
	runTests(ctx, o, r, others, "-race")
}

func testPure(ctx context.Context, o options, r *report) {
	pure, _ := testedPackages(ctx, o, r)
	runTests(ctx, o, r, pure)
}

// testedPackages returns the packages that are asked for.
func testedPackages(ctx context.Context, o options, r *report) (pure, others []string) {
	out, err := goCommand(ctx, o, append([]string{"list"}, o.packages...)...).Output()
	if err != nil {
		r.fail("go list", string(out)+err.Error())
	}
	for name := range strings.FieldsSeq(string(out)) {
		if isPure(name) {
			pure = append(pure, name)
		} else {
			others = append(others, name)
		}
	}
	return pure, others
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
func runTests(ctx context.Context, o options, r *report, packages []string, flags ...string) {
	if len(packages) == 0 {
		return
	}
	args := append([]string{"test", "-json", "-count=1", "-timeout=" + testTimeout}, flags...)
	cmd := goCommand(ctx, o, append(args, packages...)...)
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
