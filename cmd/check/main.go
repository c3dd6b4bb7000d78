// Command check does all that must pass before a change goes in, the same for
// a person and for CI:
//
//	go run ./cmd/check             everything, in about a quarter of an hour on two cores
//	go run ./cmd/check -fuzz 1m    longer fuzzing of each parser
//	go run ./cmd/check -long       the long runs of docs/reliability.md as well
//	go run ./cmd/check -r          the comparisons with R as well
//	go run ./cmd/check ./internal/journal/...   some packages only
//
// It installs the Debian packages that tests need where it may, checks the
// formatting, vets, runs staticcheck, every test and a short time of every
// fuzz target, and ends with a line `N passed, N failed`. It exits 0 if
// nothing failed, 1 if something did and 2 if it was called wrongly.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"
)

func main() {
	var o options
	flag.DurationVar(&o.fuzz, "fuzz", 4*time.Second, "time for each fuzz target, 0 for none")
	flag.BoolVar(&o.long, "long", false, "run the long tests as well (sets CROZE_LONG=1)")
	flag.BoolVar(&o.r, "r", false, "install R and compare with it (sets CROZE_R=1)")
	flag.Parse()
	if o.fuzz < 0 {
		fmt.Fprintln(os.Stderr, "-fuzz: the time cannot be below 0")
		os.Exit(2)
	}
	o.packages = flag.Args()
	if len(o.packages) == 0 {
		o.packages = []string{"./..."}
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	r := &report{out: os.Stdout, start: time.Now()}
	for _, stage := range stages {
		r.heading(stage.name)
		stage.run(ctx, o, r)
	}
	os.Exit(r.close())
}

// options are what the command line asks for.
type options struct {
	fuzz     time.Duration
	long, r  bool
	packages []string
}

// stages are run one after another. A stage that fails does not stop the next
// ones, so that one run shows all there is to mend.
var stages = []struct {
	name string
	run  func(context.Context, options, *report)
}{
	{"Debian packages", installPackages},
	{"formatting", checkFormatting},
	{"go vet", vet},
	{"staticcheck", staticcheck},
	{"tests with the race detector", testWithRace},
	{"tests of the pure rooms", testPure},
	{"fuzzing", fuzz},
}
