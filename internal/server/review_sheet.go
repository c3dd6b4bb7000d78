package server

import (
	"slices"

	"example.org/croze/internal/book"
	"example.org/croze/internal/exchange"
)

// sheetNames are the columns of the file that stand for a column of the page.
var sheetNames = map[string][]string{
	"maker": {"maker_code"}, "place": {"place"}, "wood": {"wood", "wood_state"}, "batch": {"batches"}, "grain": {"grains"},
	"volume": {"volume_l", "volume_sd_l"}, "fill": {"capacity_l", "volume_l"}, "strength": {"strength_pct", "strength_sd"},
	"alcohol": {"pure_alcohol_l"}, "youngest": {"youngest_days"}, "age": {"age_days"}, "filled": {"filled_on"}, "sampled": {"sampled_on"},
	"loss": {"loss_pct_per_year"}, "drift": {"drift_pct_per_year"}, "flags": {"flags"},
	"spot": {"row", "tier"}, "rate": {"rate_vs_kind"}, "per_l": {"value_per_l"}, "value": {"value"},
}

// stockSheet is the stock as a file has it, with what the page can show besides;
// only the columns chosen, if any were.
func stockSheet(rows []book.TableRow, columns []*stockColumn, chosen bool) exchange.Sheet {
	lines := make([]book.StockLine, len(rows))
	for i := range rows {
		lines[i] = rows[i].StockLine
	}
	sheet := exchange.Stock(lines)
	sheet.Columns = append(sheet.Columns, "row", "tier", "rate_vs_kind", "value_per_l", "value", "basis")
	for i := range rows {
		sheet.Rows[i] = append(sheet.Rows[i], moreCells(&rows[i])...)
	}
	if !chosen {
		return sheet
	}
	keep := []string{"vessel", "on", "kind", "basis"}
	for _, column := range columns {
		keep = append(keep, sheetNames[column.Key]...)
	}
	return onlyColumns(sheet, keep)
}

func moreCells(r *book.TableRow) []any {
	if r.Empty() {
		return []any{r.Spot.Row, r.Spot.Tier, nil, nil, nil, nil}
	}
	cells := []any{r.Spot.Row, r.Spot.Tier, r.RateVsKind, nil, nil, basisWords[r.Basis]}
	if r.PerL > 0 {
		cells[3], cells[4] = r.PerL, r.Value()
	}
	return cells
}

var basisWords = map[book.Basis]string{book.ByBooks: "books", book.ByEarlierFit: "estimate", book.ByFit: "estimate"}

func onlyColumns(s exchange.Sheet, keep []string) exchange.Sheet {
	out := exchange.Sheet{Name: s.Name}
	var at []int
	for i, name := range s.Columns {
		if slices.Contains(keep, name) {
			at = append(at, i)
			out.Columns = append(out.Columns, name)
		}
	}
	for _, row := range s.Rows {
		cells := make([]any, len(at))
		for i, from := range at {
			cells[i] = row[from]
		}
		out.Rows = append(out.Rows, cells)
	}
	return out
}
