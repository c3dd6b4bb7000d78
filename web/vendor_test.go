package web_test

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"strings"
	"testing"

	"example.org/croze/web"
)

// TestVendoredFilesAreAsTheyCame holds what others wrote to the sums in the table.
func TestVendoredFilesAreAsTheyCame(t *testing.T) {
	table, err := fs.ReadFile(web.Vendor, "vendor/README.md")
	if err != nil {
		t.Fatal(err)
	}
	rows := make(map[string][]string)
	for _, line := range strings.Split(string(table), "\n") {
		if cells := strings.Split(line, "|"); len(cells) == 8 {
			rows[strings.TrimSpace(cells[1])] = cells
		}
	}
	files, err := fs.Glob(web.Vendor, "vendor/*")
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, path := range files {
		name := strings.TrimPrefix(path, "vendor/")
		if name == "README.md" || strings.HasPrefix(name, "LICENSE") {
			continue
		}
		cells, known := rows[name]
		if !known {
			t.Errorf("%s has no row in vendor/README.md", name)
			continue
		}
		data, err := fs.ReadFile(web.Vendor, path)
		if err != nil {
			t.Fatal(err)
		}
		sum := sha256.Sum256(data)
		if want := strings.TrimSpace(cells[6]); hex.EncodeToString(sum[:]) != want {
			t.Errorf("%s has the sum %x, and %s in the table", name, sum, want)
		}
		licence := strings.TrimSpace(cells[5][strings.LastIndex(cells[5], ",")+1:])
		if text, err := fs.ReadFile(web.Vendor, "vendor/"+licence); err != nil || len(text) < 200 {
			t.Errorf("%s: its licence %q is not beside it", name, licence)
		}
		checked++
	}
	if checked == 0 {
		t.Error("no file was checked")
	}
}
