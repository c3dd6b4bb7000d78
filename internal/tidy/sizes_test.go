package tidy

import (
	"go/ast"
	"go/parser"
	"go/token"
	"strings"
	"testing"
)

// Lengths in lines. Most files and functions are far below them: these are
// where a reader loses the thread.
const (
	longestFile         = 400
	longestFunction     = 70
	longestTestFunction = 100
)

func TestFilesAreShort(t *testing.T) {
	for _, file := range goFiles(t) {
		if n := strings.Count(read(t, file), "\n"); n > longestFile {
			t.Errorf("%s has %d lines, more than %d: it holds more than one idea", file, n, longestFile)
		}
	}
}

func TestFunctionsAreShort(t *testing.T) {
	for _, file := range goFiles(t) {
		most := longestFunction
		if strings.HasSuffix(file, "_test.go") {
			most = longestTestFunction
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, root+file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range f.Decls {
			function, ok := d.(*ast.FuncDecl)
			if !ok {
				continue
			}
			if n := set.Position(function.End()).Line - set.Position(function.Pos()).Line + 1; n > most {
				t.Errorf("%s: %s has %d lines, more than %d", file, function.Name.Name, n, most)
			}
		}
	}
}
