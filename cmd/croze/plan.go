package main

import (
	"errors"
	"flag"
	"fmt"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
)

var planCommand = command{
	name: "plan",
	does: "solves a blend or a reduction from a plan file",
	args: "FILE.json [--data DIR] [--json]",
	more: "With --data the sources may be vessels' codes, and what is in them is filled in. FILE\n" +
		"may be - for what comes in. docs/planner.md describes the file. Exit code 1: no plan works.",
	example: "croze plan spring.json --data cellar",
	set:     setPlan,
}

func setPlan(f *flag.FlagSet) func(world, []string) error {
	data := dataFlag(f)
	asJSON := f.Bool("json", false, "as JSON")
	return func(w world, args []string) error {
		file, err := oneArgument("plan file", args)
		if err != nil {
			return err
		}
		result, err := w.solve(file, *data)
		var invalid *blend.InvalidPlan
		if errors.As(err, &invalid) {
			tellPlan(w.err, file, invalid)
			return errTold
		}
		if err != nil {
			return err
		}
		if *asJSON {
			err = writeJSON(w.out, result)
		} else {
			err = printPlan(w.out, result)
		}
		if err == nil && result.Status == blend.StatusInfeasible {
			return errNo
		}
		return err
	}
}

func (w world) solve(file, dir string) (blend.Result, error) {
	text, err := w.readFile(file)
	if err != nil {
		return blend.Result{}, err
	}
	plan, err := blend.Parse(text)
	if err != nil {
		return blend.Result{}, err
	}
	if dir != "" {
		fill := func(v *book.View) error { return v.FillPlan(&plan) }
		if err := w.seeing(dir, book.Moment{}, fill); err != nil {
			return blend.Result{}, err
		}
	} else if codes := plan.Unfilled(); len(codes) > 0 {
		return blend.Result{}, fmt.Errorf("%s: sources: %q: say what is in it, or give --data", file, codes[0])
	}
	return blend.Solve(plan)
}
