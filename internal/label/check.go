package label

import (
	"fmt"
	"math"
	"regexp"
)

const (
	smallestSide = 10.0 // mm of a label or a code
	largestSide  = 2000.0
	hair         = 0.01 // mm: rounding of inches
)

var layoutName = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)

// check says which field of a layout is wrong. Comparisons are written so that
// a number that is not a number fails them.
func (l Layout) check() error {
	if !layoutName.MatchString(l.Name) {
		return fmt.Errorf("name: %q: write 1 to 40 small letters, digits and dashes", l.Name)
	}
	for _, check := range []func() error{l.checkSizes, l.checkGrid, l.checkCode, l.checkText} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

func between(field string, value, low, high float64) error {
	if !(value >= low && value <= high) {
		return fmt.Errorf("%s: %v: must be %v to %v", field, value, low, high)
	}
	return nil
}

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func (l Layout) checkSizes() error {
	return first(
		between("page.width_mm", l.Page.Width, smallestSide, largestSide),
		between("page.height_mm", l.Page.Height, smallestSide, largestSide),
		between("label.width_mm", l.Label.Width, smallestSide, l.Page.Width),
		between("label.height_mm", l.Label.Height, smallestSide, l.Page.Height),
		between("label.padding_mm", l.Label.Padding, 0, math.Min(l.Label.Width, l.Label.Height)/4),
		between("printer.dots_per_mm", float64(l.Printer.Dots), 6, 24),
	)
}

func (l Layout) checkGrid() error {
	g := l.Grid
	err := first(
		between("grid.columns", float64(g.Columns), 1, 50),
		between("grid.rows", float64(g.Rows), 1, 100),
		between("grid.left_mm", g.Left, 0, l.Page.Width),
		between("grid.top_mm", g.Top, 0, l.Page.Height),
	)
	if err != nil {
		return err
	}
	right, bottom := l.corner(l.PerPage() - 1)
	switch {
	case g.Columns > 1 && !(g.Across >= l.Label.Width-hair):
		return fmt.Errorf("grid.across_mm: %v: labels of width %v would overlap", g.Across, l.Label.Width)
	case g.Rows > 1 && !(g.Down >= l.Label.Height-hair):
		return fmt.Errorf("grid.down_mm: %v: labels of height %v would overlap", g.Down, l.Label.Height)
	case !(right+l.Label.Width <= l.Page.Width+hair):
		return fmt.Errorf("grid.columns: %d labels reach %.2f mm across a page of %v mm", g.Columns, right+l.Label.Width, l.Page.Width)
	case !(bottom+l.Label.Height <= l.Page.Height+hair):
		return fmt.Errorf("grid.rows: %d labels reach %.2f mm down a page of %v mm", g.Rows, bottom+l.Label.Height, l.Page.Height)
	}
	return nil
}

func (l Layout) checkCode() error {
	return first(
		between("code.side_mm", l.Code.Side, smallestSide, math.Min(l.Label.Width, l.Label.Height)-2*l.Label.Padding+hair),
		between("code.read_from_mm", l.Code.ReadFrom, 50, furthestRead),
	)
}

const smallestPt, largestPt = 3.0, 200.0

func (l Layout) checkText() error {
	if l.Text.Where != beside && l.Text.Where != below {
		return fmt.Errorf("text.where: %q: write %q or %q", l.Text.Where, beside, below)
	}
	err := first(
		between("text.least_pt", l.Text.Least, smallestPt, largestPt),
		between("text.line_pt", l.Text.Line, l.Text.Least, largestPt),
		between("text.code_pt", l.Text.Code, l.Text.Least, largestPt),
	)
	if err != nil {
		return err
	}
	room := l.textArea()
	if least := 5 * l.Text.Least * mmPerPoint; room.width < least || room.height < lineHeight(l.Text.Least) {
		return fmt.Errorf("code.side_mm: %v: leaves %.1f × %.1f mm for words, which holds none: make the code smaller", l.Code.Side, room.width, room.height)
	}
	return nil
}
