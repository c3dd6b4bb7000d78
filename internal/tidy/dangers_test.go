package tidy

import (
	"slices"
	"strings"
	"testing"
)

// dangers are packages that the program does not need, and which would each
// open a way in: other programs, requests to elsewhere, XML with entities,
// code that is loaded, values of any type out of bytes.
var dangers = []string{"os/exec", "net/http", "net/rpc", "net/smtp", "encoding/xml", "encoding/gob", "plugin", "text/template", "unsafe"}

// besides are folders that are no part of the program.
var besides = []string{"cmd/check/", "internal/tidy/", "internal/walk/"}

// spared are files that use one all the same, with why.
var spared = map[string]string{
	"internal/server/errors.go net/http":    "the words of status codes",
	"internal/label/svg.go encoding/xml":    "escapes text, reads none",
	"internal/journal/copies.go net/http":   "over a socket of the data folder",
	"internal/journal/snapshot.go net/http": "over the same socket: its dialer goes nowhere else",
}

// TestNoDangerousPackageIsUsed by the program itself.
func TestNoDangerousPackageIsUsed(t *testing.T) {
	for _, file := range goFiles(t) {
		if strings.HasSuffix(file, "_test.go") || slices.ContainsFunc(besides, func(folder string) bool { return strings.HasPrefix(file, folder) }) {
			continue
		}
		for _, path := range importsOf(t, file) {
			for _, danger := range dangers {
				if (path == danger || strings.HasPrefix(path, danger+"/")) && spared[file+" "+danger] == "" {
					t.Errorf("%s uses %s", file, path)
				}
			}
		}
	}
}
