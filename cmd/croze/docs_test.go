package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestDocsAreTrue runs every "$ croze …" in the console blocks of
// docs/commands.md, one after another in a folder with the example files, and
// wants the output shown, problems included. "…" stands for anything.
func TestDocsAreTrue(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", "commands.md"))
	if err != nil {
		t.Fatal(err)
	}
	examples, err := filepath.Abs(imports)
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	if err := os.CopyFS(".", os.DirFS(examples)); err != nil {
		t.Fatal(err)
	}
	runs := 0
	for _, block := range consoleBlocks(string(page)) {
		for _, step := range strings.Split("\n"+block, "\n$ ")[1:] {
			line, want, _ := strings.Cut(step, "\n")
			runs++
			if got := shell(t, line); !matches(want, got) {
				t.Errorf("$ %s\ngives\n%s\nbut the page says\n%s", line, got, want)
			}
		}
	}
	if runs < 15 {
		t.Errorf("only %d commands were found", runs)
	}
}

func consoleBlocks(page string) []string {
	var blocks []string
	for _, part := range strings.Split(page, "\n```console\n")[1:] {
		block, _, _ := strings.Cut(part, "```")
		blocks = append(blocks, block)
	}
	return blocks
}

// shell runs "croze …", "croze … > FILE" and "cat FILE"; an exit code that is
// not 0 is a last line of its own.
func shell(t *testing.T, line string) string {
	t.Helper()
	command, into, toFile := strings.Cut(line, " > ")
	words := strings.Fields(command)
	if words[0] == "cat" {
		data, err := os.ReadFile(words[1])
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	var shown, file bytes.Buffer
	w := world{in: strings.NewReader(""), out: &shown, err: &shown, now: june}
	if toFile {
		w.out = &file
	}
	if code := run(words[1:], w); code != exitDone {
		fmt.Fprintf(&shown, "(exit code %d)\n", code)
	}
	if toFile {
		if err := os.WriteFile(into, file.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return shown.String()
}

func matches(want, got string) bool {
	parts := strings.Split(strings.TrimRight(want, "\n"), "…")
	for i := range parts {
		parts[i] = regexp.QuoteMeta(parts[i])
	}
	return regexp.MustCompile(`(?s)^` + strings.Join(parts, ".*") + `\n*$`).MatchString(got)
}
