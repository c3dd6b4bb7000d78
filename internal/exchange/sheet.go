package exchange

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/xuri/excelize/v2"
)

// Sheet is a table for a spreadsheet. A cell is a string, a number (float64 or
// int) or nil for blank.
type Sheet struct {
	Name    string
	Columns []string // with units, as in volume_l
	Rows    [][]any
}

// decimals kept of a number in a sheet: finer than any measurement, and short
// enough to read.
const decimals = 4

// WriteCSV writes the sheet by RFC 4180, text safe from being taken for a formula.
func (s Sheet) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	if err := out.Write(s.Columns); err != nil {
		return err
	}
	for _, row := range s.Rows {
		cells := make([]string, len(row))
		for i, cell := range row {
			cells[i] = csvCell(cell)
		}
		if err := out.Write(cells); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func csvCell(cell any) string {
	switch v := cell.(type) {
	case nil:
		return ""
	case string:
		return defused(v)
	case float64:
		return strconv.FormatFloat(rounded(v), 'f', -1, 64)
	}
	return fmt.Sprint(cell)
}

func rounded(x float64) float64 {
	scale := math.Pow10(decimals)
	return math.Round(x*scale)/scale + 0 // + 0 makes -0 into 0
}

// WriteXLSX writes the sheet as a workbook. Text goes in as text cells, which
// no spreadsheet runs, and the same sheet gives the same bytes.
func (s Sheet) WriteXLSX(w io.Writer) (err error) {
	f := excelize.NewFile()
	defer func() {
		if errClose := f.Close(); err == nil {
			err = errClose
		}
	}()
	if err := f.SetSheetName(f.GetSheetName(0), s.Name); err != nil {
		return err
	}
	if err := s.stream(f); err != nil {
		return err
	}
	return f.Write(w)
}

func (s Sheet) stream(f *excelize.File) error {
	bold, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		return err
	}
	out, err := f.NewStreamWriter(s.Name)
	if err != nil {
		return err
	}
	const wide = 16 // characters
	if err := out.SetColWidth(1, max(1, len(s.Columns)), wide); err != nil {
		return err
	}
	if err := out.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}); err != nil {
		return err
	}
	heads := make([]any, len(s.Columns))
	for i, name := range s.Columns {
		heads[i] = excelize.Cell{StyleID: bold, Value: name}
	}
	if err := out.SetRow("A1", heads); err != nil {
		return err
	}
	for i, row := range s.Rows {
		cells := make([]any, len(row))
		for j, cell := range row {
			if x, ok := cell.(float64); ok {
				cell = rounded(x)
			}
			cells[j] = cell
		}
		if err := out.SetRow("A"+strconv.Itoa(i+2), cells); err != nil {
			return err
		}
	}
	return out.Flush()
}
