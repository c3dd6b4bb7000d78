package main

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"croze": main})
}

// imports are the example files that scripts begin with.
const imports = "../../testdata/imports"

// TestScripts runs the program as people and programs do. A script may use
//
//	code N COMMAND…   the command must exit with N
//	remember FILE…    keeps the sum of files, or that there are none
//	unchanged         what was remembered is as it was
//	await FILE        goes on when the file is there
//	damage FILE TEXT  changes one letter of the text where it stands in the file
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(env *testscript.Env) error {
			env.Values[rememberedKey{}] = make(map[string]string)
			return os.CopyFS(filepath.Join(env.WorkDir, "imports"), os.DirFS(imports))
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"code": code, "remember": remember, "unchanged": unchanged, "damage": damage, "await": await,
		},
	})
}

type rememberedKey struct{}

func code(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: code N COMMAND…")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var exit *exec.ExitError
	switch err := ts.Exec(args[1], args[2:]...); {
	case errors.As(err, &exit):
		got = exit.ExitCode()
	case err != nil:
		ts.Fatalf("%v", err)
	}
	if got != want {
		ts.Fatalf("the exit code is %d, want %d", got, want)
	}
}

func remember(ts *testscript.TestScript, _ bool, args []string) {
	sums := ts.Value(rememberedKey{}).(map[string]string)
	clear(sums)
	for _, name := range args {
		sums[name] = sum(ts.MkAbs(name))
	}
}

func unchanged(ts *testscript.TestScript, _ bool, _ []string) {
	for name, before := range ts.Value(rememberedKey{}).(map[string]string) {
		if sum(ts.MkAbs(name)) != before {
			ts.Fatalf("%s has changed", name)
		}
	}
}

func await(ts *testscript.TestScript, _ bool, args []string) {
	for end := time.Now().Add(time.Minute); time.Now().Before(end); runtime.Gosched() {
		if _, err := os.Stat(ts.MkAbs(args[0])); err == nil {
			return
		}
	}
	ts.Fatalf("%s does not come", args[0])
}

func damage(ts *testscript.TestScript, _ bool, args []string) {
	path := ts.MkAbs(args[0])
	data, err := os.ReadFile(path)
	ts.Check(err)
	at := bytes.Index(data, []byte(args[1]))
	if at < 0 {
		ts.Fatalf("%s does not hold %q", args[0], args[1])
	}
	data[at] ^= 1
	ts.Check(os.WriteFile(path, data, 0o600))
}

// sum is the SHA-256 of a file, "" if there is none.
func sum(path string) string {
	data, err := os.ReadFile(path)
	if err != nil {
		return ""
	}
	s := sha256.Sum256(data)
	return string(s[:])
}
