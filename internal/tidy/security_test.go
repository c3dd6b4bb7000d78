package tidy

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestTestsNamedInDocsAreThere: a page that says which test shows something
// must not outlive the test.
func TestTestsNamedInDocsAreThere(t *testing.T) {
	all := allTests(t)
	pages, err := filepath.Glob(filepath.Join(root, "docs", "*.md"))
	if err != nil || len(pages) == 0 {
		t.Fatal("no pages", err)
	}
	named, name := 0, regexp.MustCompile("`((?:Test|Fuzz)[A-Z]\\w*)`")
	for _, page := range pages {
		data, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		for _, match := range name.FindAllStringSubmatch(string(data), -1) {
			named++
			if !all[match[1]] {
				t.Errorf("%s names %s, which is no test", page, match[1])
			}
		}
	}
	if named < 50 {
		t.Errorf("only %d tests are named", named)
	}
}

// allTests are the names of the tree's tests.
func allTests(t *testing.T) map[string]bool {
	function := regexp.MustCompile(`(?m)^func ((?:Test|Fuzz)\w+)\(`)
	all := make(map[string]bool)
	for _, file := range goFiles(t) {
		if !strings.HasSuffix(file, "_test.go") {
			continue
		}
		data, err := os.ReadFile(filepath.Join(root, file))
		if err != nil {
			t.Fatal(err)
		}
		for _, match := range function.FindAllStringSubmatch(string(data), -1) {
			all[match[1]] = true
		}
	}
	return all
}

// TestAllOfLevelOneIsAnswered: the page on security has a row for each of the
// seventy requirements, and none of them is blank.
func TestAllOfLevelOneIsAnswered(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(root, "docs", "security.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, found := strings.Cut(string(data), "### Level 1")
	part, _, ends := strings.Cut(rest, "### Level 2")
	if !found || !ends {
		t.Fatal("the page has no parts for the levels")
	}
	rows := regexp.MustCompile(`(?m)^\| V(\d+\.\d+\.\d+) \| (.+) \| (.+) \|$`).FindAllStringSubmatch(part, -1)
	answer, seen := regexp.MustCompile("`(Test|Fuzz)|does not apply|\\*not yet\\*: |[Tt]his page|below, |\\.md"), make(map[string]bool)
	for _, row := range rows {
		if seen[row[1]] {
			t.Errorf("V%s is there twice", row[1])
		}
		seen[row[1]] = true
		if !answer.MatchString(row[3]) {
			t.Errorf("V%s: neither a test nor a reason: %s", row[1], row[3])
		}
	}
	if len(rows) != 70 {
		t.Errorf("%d requirements of 70", len(rows))
	}
}
