package tidy

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// root leads from this package to the tree's own folder.
const root = "../../"

// treeFiles returns every file of the tree, with its path from the root, but
// for the version history and for what is built.
func treeFiles(t *testing.T) (files []string) {
	t.Helper()
	err := fs.WalkDir(os.DirFS(root), ".", func(path string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && (path == ".git" || path == ".cache"):
			return fs.SkipDir
		case entry.Type().IsRegular() && path != "croze": // the program, built in place
			files = append(files, path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func goFiles(t *testing.T) (files []string) {
	t.Helper()
	for _, file := range treeFiles(t) {
		if strings.HasSuffix(file, ".go") {
			files = append(files, file)
		}
	}
	return files
}

func read(t *testing.T, file string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(file)))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
