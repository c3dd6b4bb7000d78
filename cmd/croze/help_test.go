package main

import (
	"bytes"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestHelp holds every command to saying what it does, how it is called and
// an example that its own flags take.
func TestHelp(t *testing.T) {
	seen := make(map[string]bool)
	for _, c := range commands() {
		t.Run(c.name, func(t *testing.T) {
			if seen[c.name] {
				t.Fatal("it is there twice")
			}
			seen[c.name] = true
			code, out, errText := croze(c.name, "--help")
			if code != exitDone || errText != "" {
				t.Fatalf("exit code %d and %q", code, errText)
			}
			for _, part := range []string{c.does, "usage: croze " + c.name, "example: croze " + c.name} {
				if !strings.Contains(out, part) {
					t.Errorf("%q is missing in\n%s", part, out)
				}
			}
			words := strings.Fields(strings.Split(c.example, ">")[0])[2:]
			flags := flag.NewFlagSet(c.name, flag.ContinueOnError)
			flags.SetOutput(io.Discard)
			c.set(flags)
			if _, err := readFlags(flags, words); err != nil {
				t.Errorf("the example is not taken: %v", err)
			}
			flags.VisitAll(func(f *flag.Flag) {
				if !strings.Contains(c.args, "--"+f.Name) {
					t.Errorf("--%s is not in the usage line", f.Name)
				}
			})
		})
	}
}

// TestCommandsAreDocumented keeps docs/commands.md whole.
func TestCommandsAreDocumented(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", "commands.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range commands() {
		if !bytes.Contains(page, []byte("\n## croze "+c.name+"\n")) {
			t.Errorf("docs/commands.md has no section on croze %s", c.name)
		}
		flags := flag.NewFlagSet(c.name, flag.ContinueOnError)
		c.set(flags)
		flags.VisitAll(func(f *flag.Flag) {
			if !bytes.Contains(page, []byte("--"+f.Name)) {
				t.Errorf("docs/commands.md does not speak of --%s of croze %s", f.Name, c.name)
			}
		})
	}
}

func TestFlagsAnywhere(t *testing.T) {
	for _, c := range []struct {
		args       string
		others     string
		data, name string
	}{
		{"--data d a b", "a b", "d", ""},
		{"a --data d b", "a b", "d", ""},
		{"a b --data=d --name -3", "a b", "d", "-3"},
		{"--data d -- --name b", "--name b", "d", ""},
		{"", "", "", ""},
	} {
		flags := flag.NewFlagSet("x", flag.ContinueOnError)
		data, name := flags.String("data", "", ""), flags.String("name", "", "")
		others, err := readFlags(flags, strings.Fields(c.args))
		if err != nil || strings.Join(others, " ") != c.others || *data != c.data || *name != c.name {
			t.Errorf("%q gave %q, data %q, name %q, %v", c.args, others, *data, *name, err)
		}
	}
}
