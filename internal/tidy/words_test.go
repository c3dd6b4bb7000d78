package tidy

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// unwanted are put together here so that this file does not have them.
var unwanted = []struct{ word, why string }{
	{"TO" + "DO", "finish it, or write it down as an issue"},
	{"FIX" + "ME", "mend it, or write it down as an issue"},
	{"//no" + "lint", "mend what is found"},
	{"//lint:" + "ignore", "mend what is found"},
	{"t.Sk" + "ip", "a test runs always, or is run by a flag"},
	{"b.Sk" + "ip", "a benchmark runs always"},
	{"time.Sl" + "eep", "wait for what is to happen, not for a time"},
}

// unwantedPackages have names that say nothing.
var unwantedPackages = []string{"util", "utils", "common", "helper", "helpers", "misc", "models", "base"}

// hosts are those that an address in the tree may have: names that are kept
// for examples, this machine, and the names of formats.
var hosts = []*regexp.Regexp{
	regexp.MustCompile(`^([a-z0-9-]+\.)*example(\.(org|com|net))?$`),
	regexp.MustCompile(`^([a-z0-9-]+\.)*(test|invalid|localhost)$`),
	regexp.MustCompile(`^(127\.\d+\.\d+\.\d+|192\.0\.2\.\d+|198\.51\.100\.\d+|203\.0\.113\.\d+)$`),
	regexp.MustCompile(`^[a-z]+$`), // one word is no host of the net
	regexp.MustCompile(`^(www\.w3\.org|schemas\.openxmlformats\.org|purl\.org)$`),
}

// vendored is what others wrote; their addresses are theirs.
var vendored = []string{"web/vendor/", "web/static/vendor/", "labels/fonts/"}

var address = regexp.MustCompile(`https?://([A-Za-z0-9.-]+)`)

// texts are the endings of files that people read.
var texts = []string{
	".go", ".md", ".html", ".tmpl", ".css", ".js", ".mjs", ".svg", ".json", ".jsonl", ".csv", ".txt", ".txtar",
	".yml", ".yaml", ".toml", ".sh", ".py", ".R", ".webmanifest", ".mod",
}

func TestUnwantedWords(t *testing.T) {
	for _, file := range goFiles(t) {
		text := read(t, file)
		for _, u := range unwanted {
			if strings.Contains(text, u.word) {
				t.Errorf("%s has %s: %s", file, u.word, u.why)
			}
		}
	}
}

func TestPackageNamesSaySomething(t *testing.T) {
	for _, file := range goFiles(t) {
		if folder := filepath.Base(filepath.Dir(file)); slices.Contains(unwantedPackages, folder) {
			t.Errorf("%s: a package is named after what it knows, not %s", file, folder)
		}
	}
}

func TestAddresses(t *testing.T) {
	for _, file := range textFiles(t) {
		text := strings.ReplaceAll(read(t, file), `\.`, ".") // as in a pattern of a test
		for _, match := range address.FindAllStringSubmatch(text, -1) {
			if !slices.ContainsFunc(hosts, func(h *regexp.Regexp) bool { return h.MatchString(match[1]) }) {
				t.Errorf("%s names the host %s, which is none of those kept for examples", file, match[1])
			}
		}
	}
}

// TestNoPathsOfThisMachine looks for the folders of whoever runs the test.
func TestNoPathsOfThisMachine(t *testing.T) {
	here, err := filepath.Abs(root)
	if err != nil {
		t.Fatal(err)
	}
	paths := []string{filepath.Dir(here) + "/"}
	if home, err := os.UserHomeDir(); err == nil {
		paths = append(paths, home+"/")
	}
	for _, file := range textFiles(t) {
		text := read(t, file)
		for _, path := range paths {
			if len(path) > 2 && strings.Contains(text, path) {
				t.Errorf("%s has %s, which is a folder of one machine", file, path)
			}
		}
	}
}

// textFiles returns what people read and we wrote.
func textFiles(t *testing.T) (files []string) {
	t.Helper()
	for _, file := range treeFiles(t) {
		ours := !slices.ContainsFunc(vendored, func(folder string) bool { return strings.HasPrefix(file, folder) })
		if ours && (slices.Contains(texts, filepath.Ext(file)) || strings.HasPrefix(file, ".ci/")) {
			files = append(files, file)
		}
	}
	return files
}
