package tidy

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var markdownLink = regexp.MustCompile(`\]\(([^)\s]+)\)`)

// Every link of the documents to something of the project leads somewhere.
func TestLinksOfTheDocuments(t *testing.T) {
	checked := 0
	for _, file := range treeFiles(t) {
		if filepath.Ext(file) != ".md" {
			continue
		}
		for _, found := range markdownLink.FindAllStringSubmatch(read(t, file), -1) {
			target, _, _ := strings.Cut(found[1], "#")
			if target == "" || strings.Contains(target, "://") {
				continue
			}
			checked++
			if _, err := os.Stat(filepath.Join(root, filepath.Dir(file), target)); err != nil {
				t.Errorf("%s: the link to %s leads nowhere", file, target)
			}
		}
	}
	if checked < 10 {
		t.Errorf("only %d links were found: the test has become empty", checked)
	}
}
