package label

import (
	"bytes"
	"fmt"
	"image"
	_ "image/png" // pdftoppm and rsvg-convert write PNG
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
	"example.org/croze/labels"
)

const (
	shortAddress = "https://cellar.example"
	longAddress  = "https://stillhouse.orchard-lane.example:8443"
)

func builtIn(t testing.TB) LayoutSet {
	t.Helper()
	set, err := Layouts(labels.Files)
	if err != nil {
		t.Fatal(err)
	}
	if len(set) < 5 {
		t.Fatalf("only %d layouts are built in", len(set))
	}
	return set
}

func findLayout(t testing.TB, name string) Layout {
	t.Helper()
	layout, err := builtIn(t).Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return layout
}

func caskLabel(t testing.TB, publicURL string, n int) Label {
	t.Helper()
	code := cellar.IssueCode(uint64(n))
	return labelFor(t, publicURL, Vessel, code)
}

func labelFor(t testing.TB, publicURL string, thing Thing, code string) Label {
	t.Helper()
	address, err := Address(publicURL, thing, code)
	if err != nil {
		t.Fatal(err)
	}
	return Label{
		Address: address,
		Code:    code,
		Kind:    "Cask, oak, used",
		Lines:   []string{"50.2 L", "Filled 14 March 2021", "63.4 % vol", "Rye and oat, run 7", "Fût — Żółć ½"},
	}
}

func sheetOf(t testing.TB, publicURL string, count int) []Label {
	t.Helper()
	sheet := make([]Label, count)
	for i := range sheet {
		sheet[i] = caskLabel(t, publicURL, i)
	}
	return sheet
}

func pdfOf(t testing.TB, layout Layout, sheet []Label, options Options) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := PDF(&out, layout, sheet, options); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// run calls a program of the machine; the tests need zbar-tools, poppler-utils
// and librsvg2-bin.
func runTool(t testing.TB, name string, args ...string) []byte {
	t.Helper()
	var problems bytes.Buffer
	command := exec.Command(name, args...)
	command.Stderr = &problems
	out, err := command.Output()
	if err != nil {
		t.Fatalf("%s %s: %v: %s", name, strings.Join(args, " "), err, problems.String())
	}
	return out
}

func kept(t testing.TB, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func readImage(t testing.TB, path string) image.Image {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	picture, _, err := image.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	return picture
}

// printed renders the first page of a PDF as a printer of 200 dpi would.
func printed(t testing.TB, pdf []byte) image.Image { return printedAt(t, pdf, printDPI) }

const printDPI = 200

// printedAt renders the first page at any number of dots per inch.
func printedAt(t testing.TB, pdf []byte, dpi float64) image.Image {
	t.Helper()
	path := kept(t, "labels.pdf", pdf)
	runTool(t, "pdftoppm", "-r", fmt.Sprint(dpi), "-gray", "-png", "-singlefile", path, strings.TrimSuffix(path, ".pdf"))
	return readImage(t, strings.TrimSuffix(path, ".pdf")+".png")
}
