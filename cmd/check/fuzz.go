package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// fuzzTarget is a fuzz function and the folder of its package.
type fuzzTarget struct{ folder, name string }

var fuzzFunction = regexp.MustCompile(`(?m)^func (Fuzz\w+)\(\w+ \*testing\.F\)`)

// fuzz runs every fuzz target of the tree for a while, one after another.
func fuzz(ctx context.Context, o options, r *report) {
	if o.fuzz == 0 {
		r.note("left out by -fuzz 0")
		return
	}
	targets, err := fuzzTargets(".")
	if err != nil {
		r.fail("fuzzing", err.Error())
		return
	}
	chosen, err := chosenFolders(ctx, o)
	if err != nil {
		r.fail("fuzzing", err.Error())
		return
	}
	for _, t := range targets {
		if !chosen[t.folder] {
			continue
		}
		r.note("%s %s for %s", t.folder, t.name, o.fuzz)
		output, err := fuzzOne(ctx, o, t)
		if err != nil && outOfTime(output) {
			r.note("it was stopped in the middle of an input: once more")
			output, err = fuzzOne(ctx, o, t)
		}
		r.result(fmt.Sprintf("fuzzing %s in %s", t.name, t.folder), output, err)
	}
}

// fuzzOne fuzzes one target. Interesting inputs are not made smaller for long,
// which would take most of a short run.
func fuzzOne(ctx context.Context, o options, t fuzzTarget) (output string, err error) {
	return goTool(ctx, o, "test", "-run=^$", "-fuzz=^"+t.name+"$",
		"-fuzztime="+o.fuzz.String(), "-fuzzminimizetime=20x", "./"+t.folder)
}

// outOfTime recognises a run that failed only because its time ended while an
// input was being tried, which the go command reports as a failure now and
// then on a busy machine. A true failure names the input that it wrote down.
func outOfTime(output string) bool {
	return strings.Contains(output, "context deadline exceeded") && !strings.Contains(output, "Failing input written")
}

// fuzzTargets finds the fuzz functions of the tree.
func fuzzTargets(root string) (targets []fuzzTarget, err error) {
	files, err := goFiles(root)
	if err != nil {
		return nil, err
	}
	for _, file := range files {
		if !strings.HasSuffix(file, "_test.go") {
			continue
		}
		source, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		for _, match := range fuzzFunction.FindAllSubmatch(source, -1) {
			targets = append(targets, fuzzTarget{filepath.ToSlash(filepath.Dir(file)), string(match[1])})
		}
	}
	return targets, nil
}

// chosenFolders returns the folders, from the root on, of the packages that are asked for.
func chosenFolders(ctx context.Context, o options) (map[string]bool, error) {
	root, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	out, err := goCommand(ctx, o, append([]string{"list", "-f", "{{.Dir}}"}, o.packages...)...).Output()
	if err != nil {
		return nil, err
	}
	chosen := map[string]bool{}
	for _, dir := range slices.Collect(strings.FieldsFuncSeq(string(out), func(r rune) bool { return r == '\n' })) {
		folder, err := filepath.Rel(root, dir)
		if err != nil {
			return nil, err
		}
		chosen[filepath.ToSlash(folder)] = true
	}
	return chosen, nil
}
