package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"go/format"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// checkFormatting fails if gofmt would change a Go file, and names them all.
func checkFormatting(_ context.Context, _ options, r *report) {
	files, err := goFiles(".")
	if err != nil {
		r.fail("formatting", err.Error())
		return
	}
	var wrong error
	for _, file := range files {
		wrong = errors.Join(wrong, formatted(file))
	}
	r.note("%d files", len(files))
	r.result("formatting", "", wrong)
}

func formatted(file string) error {
	source, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	want, err := format.Source(source)
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	if !bytes.Equal(source, want) {
		return fmt.Errorf("gofmt -w %s", file)
	}
	return nil
}

// goFiles returns the Go files of the tree, without folders that begin with a dot.
func goFiles(root string) (files []string, err error) {
	err = filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && path != root && strings.HasPrefix(entry.Name(), ".") {
			return fs.SkipDir
		}
		if strings.HasSuffix(path, ".go") {
			files = append(files, path)
		}
		return nil
	})
	return files, err
}

func vet(ctx context.Context, o options, r *report) {
	output, err := goTool(ctx, o, append([]string{"vet"}, o.packages...)...)
	r.result("go vet", output, err)
}

// staticcheck runs the version that go.mod names.
func staticcheck(ctx context.Context, o options, r *report) {
	output, err := goTool(ctx, o, append([]string{"tool", "staticcheck"}, o.packages...)...)
	r.result("staticcheck", output, err)
}

// goTool runs the go command and returns all that it printed.
func goTool(ctx context.Context, o options, args ...string) (output string, err error) {
	cmd := goCommand(ctx, o, args...)
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// goCommand is the go command with the environment that tests are told about.
func goCommand(ctx context.Context, o options, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Env = testEnvironment(o)
	return cmd
}

func testEnvironment(o options) []string {
	env := os.Environ()
	if o.long {
		env = append(env, "CROZE_LONG=1")
	}
	if o.r {
		env = append(env, "CROZE_R=1")
	}
	return env
}
