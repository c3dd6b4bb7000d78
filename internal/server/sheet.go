package server

import (
	"io"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/exchange"
)

// writeSheet writes a table as csv or xlsx and returns its media type.
func writeSheet(out io.Writer, as string, sheet exchange.Sheet) (kind string, err error) {
	switch as {
	case "csv":
		return "text/csv; charset=utf-8", sheet.WriteCSV(out)
	case "xlsx":
		return "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", sheet.WriteXLSX(out)
	}
	return "", &cellar.Problem{Kind: cellar.Invalid, Field: "as", Value: as, Reason: "use csv or xlsx"}
}
