package main

import (
	"bufio"
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

func newReport() (*report, *bytes.Buffer) {
	var out bytes.Buffer
	return &report{out: &out, start: time.Now()}, &out
}

func lastLine(out *bytes.Buffer) string {
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	return lines[len(lines)-1]
}

func TestClosingLine(t *testing.T) {
	r, out := newReport()
	r.pass()
	r.pass()
	if code := r.close(); code != 0 || lastLine(out) != "2 passed, 0 failed" {
		t.Errorf("exit %d, closing line %q", code, lastLine(out))
	}
	r.skip()
	r.fail("the cask", "leaks\n")
	if code := r.close(); code != 1 || lastLine(out) != "2 passed, 1 failed, 1 skipped" {
		t.Errorf("exit %d, closing line %q", code, lastLine(out))
	}
	if !strings.Contains(out.String(), "-- failed: the cask\n   leaks\n") {
		t.Errorf("the failure's output is not shown:\n%s", out)
	}
}

// TestEvents reads events of each sort that `go test -json` prints.
func TestEvents(t *testing.T) {
	events := strings.Join([]string{
		`{"Action":"start","Package":"a"}`,
		`{"Action":"run","Package":"a","Test":"TestGood"}`,
		`{"Action":"output","Package":"a","Test":"TestGood","Output":"chatter\n"}`,
		`{"Action":"pass","Package":"a","Test":"TestGood","Elapsed":0.1}`,
		`{"Action":"output","Package":"a","Test":"TestBad/row","Output":"got 1, want 2\n"}`,
		`{"Action":"fail","Package":"a","Test":"TestBad/row"}`,
		`{"Action":"fail","Package":"a","Test":"TestBad"}`,
		`{"Action":"skip","Package":"a","Test":"TestLazy"}`,
		`{"Action":"fail","Package":"a","Elapsed":1}`,
		`{"Action":"output","Package":"hangs","Test":"TestSlow","Output":"panic: test timed out\n"}`,
		`{"Action":"fail","Package":"hangs","Elapsed":1200}`,
		`{"ImportPath":"broken [broken.test]","Action":"build-output","Output":"undefined: cask\n"}`,
		`{"Action":"fail","Package":"broken","FailedBuild":"broken [broken.test]"}`,
		`{"Action":"pass","Package":"good","Elapsed":2.5}`,
		`not an event`,
		``,
	}, "\n")
	r, out := newReport()
	if err := readEvents(bufio.NewReader(strings.NewReader(events)), r); err != nil {
		t.Fatal(err)
	}
	if r.passed != 1 || r.skipped != 1 {
		t.Errorf("%d passed and %d skipped", r.passed, r.skipped)
	}
	want := []failure{
		{"a TestBad/row", "got 1, want 2\n"},
		{"a TestBad", ""},
		{"hangs", "panic: test timed out\n"},
		{"broken does not build", "undefined: cask\n"},
	}
	if !slices.Equal(r.failures, want) {
		t.Errorf("failures are %q", r.failures)
	}
	for _, shown := range []string{"2.5 s  good", "not an event", "skipped a TestLazy"} {
		if !strings.Contains(out.String(), shown) {
			t.Errorf("%q is not shown in\n%s", shown, out)
		}
	}
	if strings.Contains(out.String(), "chatter") {
		t.Error("what a good test prints is shown")
	}
}

func TestOutputIsCutFromItsBeginning(t *testing.T) {
	g := &gathering{output: map[string]string{}}
	for range 100 {
		g.keep("a", strings.Repeat("x", most/50))
	}
	g.keep("a", "the end")
	if got := g.output["a"]; len(got) != most || !strings.HasSuffix(got, "the end") {
		t.Errorf("%d bytes are kept, ending in %q", len(got), got[len(got)-10:])
	}
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestFuzzTargetsAreFound(t *testing.T) {
	root := t.TempDir()
	write(t, filepath.Join(root, "a", "a_test.go"), "package a\n\nfunc FuzzRow(f *testing.F) {}\n\nfunc FuzzCode(t *testing.F) {\n}\n\nfunc TestFuzz(t *testing.T) {}\n")
	write(t, filepath.Join(root, "a", "a.go"), "package a\n\nfunc FuzzNot(f *testing.F) {}\n")
	write(t, filepath.Join(root, ".hidden", "a_test.go"), "package a\n\nfunc FuzzHidden(f *testing.F) {}\n")
	got, err := fuzzTargets(root)
	folder := filepath.ToSlash(filepath.Join(root, "a"))
	if want := []fuzzTarget{{folder, "FuzzRow"}, {folder, "FuzzCode"}}; err != nil || !slices.Equal(got, want) {
		t.Errorf("targets are %v, %v", got, err)
	}
}

// TestTargetsAreGathered: a folder is built once, whatever stands between its targets.
func TestTargetsAreGathered(t *testing.T) {
	var got []string
	for folder, names := range byFolder([]fuzzTarget{{"b", "FuzzOne"}, {"a", "FuzzTwo"}, {"b", "FuzzThree"}}) {
		got = append(got, folder+" "+strings.Join(names, " "))
	}
	if want := []string{"b FuzzOne FuzzThree", "a FuzzTwo"}; !slices.Equal(got, want) {
		t.Errorf("gathered %q, want %q", got, want)
	}
}

func TestAFailureNamesItsInput(t *testing.T) {
	for output, want := range map[string]bool{
		"--- FAIL: FuzzRow (10.05s)\n    context deadline exceeded\n":                         false,
		"    fuzzing process hung or terminated unexpectedly while minimizing: EOF\n":         false,
		"    row 3 is lost\n    Failing input written to testdata/fuzz/FuzzRow/1\n    FAIL\n": true,
	} {
		if got := named(output); got != want {
			t.Errorf("%q: %v, want %v", output, got, want)
		}
	}
}

func TestFormatting(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.go")
	for text, want := range map[string]string{
		"package a\n\nvar x = 1\n": "",
		"package a\nvar  x = 1\n":  "gofmt -w",
		"package\n":                "expected 'IDENT'",
	} {
		write(t, file, text)
		err := formatted(file)
		if got := errorText(err); want == "" && got != "" || !strings.Contains(got, want) {
			t.Errorf("of %q: %v", text, err)
		}
	}
}

func errorText(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

func TestPureRooms(t *testing.T) {
	for name, want := range map[string]bool{
		"example.org/croze/internal/spirit":        true,
		"example.org/croze/internal/blend/simplex": true,
		"example.org/croze/internal/journal":       false,
		"example.org/croze/internal/spirits":       false,
		"example.org/croze/cmd/croze":              false,
	} {
		if isPure(name) != want {
			t.Errorf("%s: pure is %v", name, !want)
		}
	}
}

func TestPackagesAreSorted(t *testing.T) {
	p := sorted("m/internal/spirit math\nm/internal/loss math sync\nm/internal/book sync\nm/cmd/croze\n")
	got := [][]string{p.pure, p.concurrent, p.others}
	want := [][]string{{"m/internal/spirit", "m/internal/loss"}, {"m/internal/loss"}, {"m/internal/book", "m/cmd/croze"}}
	for i := range want {
		if !slices.Equal(got[i], want[i]) {
			t.Errorf("sorted into %v, want %v", got, want)
			break
		}
	}
}
