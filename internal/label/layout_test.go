package label

import (
	"encoding/json"
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"example.org/croze/labels"
)

func TestBuiltInLayouts(t *testing.T) {
	set := builtIn(t)
	for _, layout := range set {
		if layout.Title == "" {
			t.Errorf("%s has no title", layout.Name)
		}
		found, err := set.Find(" " + strings.ToUpper(layout.Name))
		if err != nil || found.Name != layout.Name {
			t.Errorf("%s is not found by its name: %v", layout.Name, err)
		}
	}
	_, err := set.Find("a5")
	if err == nil || !strings.Contains(err.Error(), "a4-3x8") {
		t.Errorf("%v; want an error that lists the names", err)
	}
}

// A user's folder adds to what is built in.
func TestOwnLayoutIsAdded(t *testing.T) {
	own := fstest.MapFS{"jar-tags.json": {Data: changed(t, map[string]any{"name": "jar-tags"})}, "notes.txt": {Data: []byte("not a layout")}}
	set, err := Layouts(labels.Files, own)
	if err != nil {
		t.Fatal(err)
	}
	if layout, err := set.Find("jar-tags"); err != nil || layout.Printer.Dots != usualDots {
		t.Errorf("%+v, %v", layout, err)
	}
	if len(set) != len(builtIn(t))+1 {
		t.Errorf("%d layouts", len(set))
	}
}

// The page that says how to write a layout shows one that works.
func TestLayoutInTheManualIsGood(t *testing.T) {
	page, err := os.ReadFile("../../docs/labels.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(page), "```json\n")
	example, _, found := strings.Cut(rest, "```")
	if !found {
		t.Fatal("the manual shows no layout")
	}
	if _, err := Layouts(labels.Files, fstest.MapFS{"jar-tags.json": {Data: []byte(example)}}); err != nil {
		t.Error(err)
	}
}

// changed is the layout a4-3x8 with some of its fields, by path, put in.
func changed(t *testing.T, fields map[string]any) []byte {
	t.Helper()
	data, err := fs.ReadFile(labels.Files, "a4-3x8.json")
	if err != nil {
		t.Fatal(err)
	}
	var layout map[string]any
	if err := json.Unmarshal(data, &layout); err != nil {
		t.Fatal(err)
	}
	for path, value := range fields {
		at := layout
		parts := strings.Split(path, ".")
		for _, part := range parts[:len(parts)-1] {
			if at[part] == nil {
				at[part] = map[string]any{}
			}
			at = at[part].(map[string]any)
		}
		at[parts[len(parts)-1]] = value
	}
	data, err = json.Marshal(layout)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestWrongLayoutsAreRefusedByFileAndField(t *testing.T) {
	cases := []struct {
		path   string
		value  any
		reason string
	}{
		{"name", "", "name"},
		{"name", "A4 sheet", "name"},
		{"name", "a4-3x8", "taken by a4-3x8.json"},
		{"page.width_mm", 0, "page.width_mm"},
		{"page.height_mm", -1, "page.height_mm"},
		{"page.height_mm", 1e9, "page.height_mm"},
		{"label.width_mm", 211, "label.width_mm"},
		{"label.height_mm", 5, "label.height_mm"},
		{"label.padding_mm", 30, "label.padding_mm"},
		{"grid.columns", 4, "grid.columns"},
		{"grid.rows", 9, "grid.rows"},
		{"grid.rows", 0, "grid.rows"},
		{"grid.left_mm", 1, "grid.columns"},
		{"grid.top_mm", 2, "grid.rows"},
		{"grid.across_mm", 69, "grid.across_mm"},
		{"grid.down_mm", 36, "grid.down_mm"},
		{"code.side_mm", 36, "code.side_mm"},
		{"code.read_from_mm", 1, "code.read_from_mm"},
		{"text.where", "above", "text.where"},
		{"text.where", "below", "code.side_mm"},
		{"text.least_pt", 1, "text.least_pt"},
		{"text.line_pt", 4, "text.line_pt"},
		{"text.code_pt", 999, "text.code_pt"},
		{"printer.dots_per_mm", 100, "printer.dots_per_mm"},
		{"colour", "red", "colour"},
		{"grid.columns", "three", "grid.columns"},
	}
	for _, c := range cases {
		fields := map[string]any{"name": "own", c.path: c.value}
		_, err := Layouts(labels.Files, fstest.MapFS{"own.json": {Data: changed(t, fields)}})
		if err == nil || !strings.Contains(err.Error(), "own.json") || !strings.Contains(err.Error(), c.reason) {
			t.Errorf("%s = %v: %v; want an error naming own.json and %s", c.path, c.value, err, c.reason)
		}
	}
}

func TestFilesThatAreNoLayouts(t *testing.T) {
	good := string(changed(t, map[string]any{"name": "own"}))
	for data, reason := range map[string]string{
		"":                                "EOF",
		"[]":                              "array",
		good + good:                       "goes on",
		strings.Repeat(" ", 70000) + good: "larger than",
	} {
		_, err := Layouts(fstest.MapFS{"own.json": {Data: []byte(data)}})
		if err == nil || !strings.Contains(err.Error(), "own.json") || !strings.Contains(err.Error(), reason) {
			t.Errorf("%.20q: %v; want an error saying %q", data, err, reason)
		}
	}
}

func FuzzLayout(f *testing.F) {
	data, err := fs.ReadFile(labels.Files, "roll-62.json")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Fuzz(func(t *testing.T, data []byte) {
		set, err := Layouts(fstest.MapFS{"x.json": {Data: data}})
		if err != nil {
			return
		}
		label := Label{Address: "HTTPS://CELLAR.EXAMPLE/V/A", Code: "A", Kind: "Cask", Lines: []string{"50 L"}}
		if err := SVG(&strings.Builder{}, set[0], label); err != nil && !strings.Contains(err.Error(), "to read it from") {
			t.Fatal(err)
		}
	})
}
