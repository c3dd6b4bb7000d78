package exchange

import (
	"strings"

	"example.org/croze/internal/book"
)

// Statement lays a statement out as a sheet. Within a section the rows but the
// closing add up to the closing in every column: what went out is below nothing.
func Statement(s *book.Statement) Sheet {
	sheet := Sheet{Name: "Statement", Columns: []string{
		"from", "to", "vessels", "section", "line", "what", "ethanol_mg", "water_mg", "pure_alcohol_l", "proof_gallons",
	}}
	for _, section := range s.Sections {
		for _, l := range section.Lines {
			sheet.Rows = append(sheet.Rows, []any{
				s.From.String(), s.To.String(), VesselsInWords(s), section.Name, l.Key, book.LineWords(l.Key),
				l.Amount.EthanolMg, l.Amount.WaterMg, l.PureAlcoholL.Float(), l.ProofGallons.Float(),
			})
		}
	}
	return sheet
}

// VesselsInWords names the vessels of a statement.
func VesselsInWords(s *book.Statement) string {
	if len(s.Vessels) == 0 {
		return "all"
	}
	return strings.Join(s.Vessels, ";")
}
