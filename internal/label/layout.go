package label

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"sort"
	"strings"
)

// Layout says how labels stand on a page. All lengths are in millimetres, all
// type sizes in points of 1/72 inch.
type Layout struct {
	Name    string  `json:"name"`  // short: letters, digits, dashes
	Title   string  `json:"title"` // what a person chooses by
	Page    Page    `json:"page"`
	Label   Cut     `json:"label"`
	Grid    Grid    `json:"grid"`
	Code    QR      `json:"code"`
	Text    Type    `json:"text"`
	Printer Printer `json:"printer"`
}

// Page is the sheet, or the label itself on a roll.
type Page struct {
	Width  float64 `json:"width_mm"`
	Height float64 `json:"height_mm"`
}

// Cut is the size of one label; nothing is printed nearer to its edge than the padding.
type Cut struct {
	Width   float64 `json:"width_mm"`
	Height  float64 `json:"height_mm"`
	Padding float64 `json:"padding_mm"`
}

// Grid places labels on the page: the first one's corner, and from one
// label's left or top edge to the next.
type Grid struct {
	Columns int     `json:"columns"`
	Rows    int     `json:"rows"`
	Left    float64 `json:"left_mm"`
	Top     float64 `json:"top_mm"`
	Across  float64 `json:"across_mm"`
	Down    float64 `json:"down_mm"`
}

// QR is the side of the QR code with its quiet zone, and the distance from
// which a phone should read it.
type QR struct {
	Side     float64 `json:"side_mm"`
	ReadFrom float64 `json:"read_from_mm"`
}

// Type says where the words stand ("beside" or "below" the QR code) and how
// large they are: the code, the lines, and the least size that text which is
// too long shrinks to before it is cut.
type Type struct {
	Where string  `json:"where"`
	Code  float64 `json:"code_pt"`
	Line  float64 `json:"line_pt"`
	Least float64 `json:"least_pt"`
}

// Printer is for plain printer text: dots per millimetre, 8 (203 dpi) unless given.
type Printer struct {
	Dots int `json:"dots_per_mm"`
}

// PerPage is how many labels go on one page.
func (l Layout) PerPage() int { return l.Grid.Columns * l.Grid.Rows }

// corner returns the left and top edge of the n-th place on a page, row by row.
func (l Layout) corner(n int) (x, y float64) {
	row, column := n/l.Grid.Columns, n%l.Grid.Columns
	return l.Grid.Left + float64(column)*l.Grid.Across, l.Grid.Top + float64(row)*l.Grid.Down
}

// LayoutSet is a number of layouts, sorted by name.
type LayoutSet []Layout

// Layouts reads and checks every *.json at the top of the folders: the
// program's own first, then those that a user added. An error names the file
// and the field. A name may be given once only.
func Layouts(folders ...fs.FS) (LayoutSet, error) {
	var set LayoutSet
	from := map[string]string{}
	for _, folder := range folders {
		files, err := fs.Glob(folder, "*.json")
		if err != nil {
			return nil, fmt.Errorf("label layouts: %w", err)
		}
		for _, file := range files {
			layout, err := readLayout(folder, file)
			if err != nil {
				return nil, fmt.Errorf("label layout %s: %w", file, err)
			}
			if before, taken := from[layout.Name]; taken {
				return nil, fmt.Errorf("label layout %s: name: %q is taken by %s: choose another", file, layout.Name, before)
			}
			from[layout.Name] = file
			set = append(set, layout)
		}
	}
	sort.Slice(set, func(i, j int) bool { return set[i].Name < set[j].Name })
	return set, nil
}

const largestLayout = 64 << 10 // bytes of one file

func readLayout(folder fs.FS, file string) (Layout, error) {
	var layout Layout
	opened, err := folder.Open(file)
	if err != nil {
		return layout, err
	}
	defer opened.Close()
	data, err := io.ReadAll(io.LimitReader(opened, largestLayout+1))
	switch {
	case err != nil:
		return layout, err
	case len(data) > largestLayout:
		return layout, fmt.Errorf("is larger than %d bytes: that is no layout", largestLayout)
	}
	decoder := json.NewDecoder(bytes.NewReader(data))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&layout); err != nil {
		return layout, fmt.Errorf("%s", strings.TrimPrefix(err.Error(), "json: "))
	}
	if _, err := decoder.Token(); err != io.EOF {
		return layout, fmt.Errorf("goes on after the layout: put each layout in a file of its own")
	}
	if layout.Printer.Dots == 0 {
		layout.Printer.Dots = usualDots
	}
	return layout, layout.check()
}

const usualDots = 8

// Find returns the layout of a name; the error lists the names there are.
func (s LayoutSet) Find(name string) (Layout, error) {
	names := make([]string, len(s))
	for i, layout := range s {
		if strings.EqualFold(layout.Name, strings.TrimSpace(name)) {
			return layout, nil
		}
		names[i] = layout.Name
	}
	return Layout{}, fmt.Errorf("sheet: %q: no label layout of that name: there are %s", name, strings.Join(names, ", "))
}
