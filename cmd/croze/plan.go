package main

import (
	"errors"
	"flag"
	"fmt"
	"io"

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

func printPlan(out io.Writer, r blend.Result) error {
	if r.Status == blend.StatusInfeasible {
		fmt.Fprintln(out, "There is no such plan.")
		if len(r.Clash) > 0 {
			fmt.Fprintln(out, "These wishes clash:")
		}
		for _, clash := range r.Clash {
			fmt.Fprintf(out, "  %s\n", clash)
		}
		return nil
	}
	if len(r.Targets) == 0 {
		return printMaking(out, blend.Making{Draws: r.Draws, WaterL: r.WaterL, WaterKg: r.WaterKg, Made: *r.Made})
	}
	for _, m := range r.Targets {
		fmt.Fprintf(out, "%s\n", m.Name)
		if err := printMaking(out, m); err != nil {
			return err
		}
	}
	return nil
}

func printMaking(out io.Writer, m blend.Making) error {
	table := &columns{heads: []string{"take from", ">L at 20 °C", ">kg", ">weighed kg"}}
	for _, d := range m.Draws {
		table.add(d.ID, fixed(d.VolumeL, 3), fixed(d.MassKg, 3), fixed(d.WeighsKg, 3))
	}
	if m.WaterL > 0 {
		table.add("water", fixed(m.WaterL, 3), fixed(m.WaterKg, 3), "")
	}
	if err := table.write(out); err != nil {
		return err
	}
	_, err := fmt.Fprintf(out, "\nIt makes %s L of %s %% vol, %s L of pure alcohol. A plan is advice: gauge before you bottle.\n",
		fixed(m.Made.VolumeL, 3), fixed(m.Made.StrengthPct, 2), fixed(m.Made.PureAlcoholL, 3))
	return err
}
