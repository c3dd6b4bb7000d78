package main

import (
	"context"
	"fmt"
	"iter"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"
)

// fuzzTarget is a fuzz function and the folder of its package.
type fuzzTarget struct{ folder, name string }

var fuzzFunction = regexp.MustCompile(`(?m)^func (Fuzz\w+)\(\w+ \*testing\.F\)`)

// fuzz runs every fuzz target of the tree for a while, one after another. The
// program of a folder is built once for all its targets: instrumenting and
// linking a room that stands on all the others takes longer than a short run.
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
	programs, err := os.MkdirTemp("", "croze-fuzz-")
	if err != nil {
		r.fail("fuzzing", err.Error())
		return
	}
	defer os.RemoveAll(programs)
	for folder, names := range byFolder(targets) {
		if chosen[folder] {
			fuzzFolder(ctx, o, r, programs, folder, names)
		}
	}
}

// byFolder gathers the names of the targets of each folder, in the order in
// which they were found.
func byFolder(targets []fuzzTarget) iter.Seq2[string, []string] {
	return func(yield func(string, []string) bool) {
		for len(targets) > 0 {
			folder := targets[0].folder
			var names []string
			var rest []fuzzTarget
			for _, t := range targets {
				if t.folder == folder {
					names = append(names, t.name)
				} else {
					rest = append(rest, t)
				}
			}
			if !yield(folder, names) {
				return
			}
			targets = rest
		}
	}
}

// fuzzFolder builds the instrumented tests of a folder and runs its targets.
func fuzzFolder(ctx context.Context, o options, r *report, programs, folder string, names []string) {
	program := filepath.Join(programs, strings.ReplaceAll(folder, "/", "-"))
	start := time.Now()
	if output, err := goTool(ctx, o, "test", "-c", "-fuzz=.", "-o", program, "./"+folder); err != nil {
		r.result("building the fuzz targets in "+folder, output, err)
		return
	}
	r.note("%s: built in %.0f s, %d for %s each", folder, time.Since(start).Seconds(), len(names), o.fuzz)
	found := filepath.Join(programs, "found", folder) // beside what testdata/fuzz keeps
	for _, name := range names {
		output, err := fuzzOne(ctx, o, program, folder, name, found)
		if err != nil && !named(output) {
			r.note("%s failed without naming an input: once more", name)
			output, err = fuzzOne(ctx, o, program, folder, name, found)
		}
		r.result(fmt.Sprintf("fuzzing %s in %s", name, folder), output, err)
	}
}

// fuzzOne fuzzes one target. Interesting inputs are not made smaller for long,
// which would take most of a short run. An input that fails is written below
// the folder's testdata/fuzz, as by go test.
func fuzzOne(ctx context.Context, o options, program, folder, name, found string) (output string, err error) {
	cmd := exec.CommandContext(ctx, program, "-test.run=^$", "-test.fuzz=^"+name+"$", "-test.fuzztime="+o.fuzz.String(),
		"-test.fuzzminimizetime=20x", "-test.fuzzcachedir="+found, "-test.timeout=0", "-test.paniconexit0")
	cmd.Dir, cmd.Env = folder, testEnvironment(o)
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// named says whether a failed run names an input that fails. One that names
// none failed by its own machinery, as the fuzzing of Go does now and then on a
// busy machine when its time ends, or a worker is lost, in the middle of one.
func named(output string) bool { return strings.Contains(output, "Failing input written") }

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
