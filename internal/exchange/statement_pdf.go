package exchange

import (
	"fmt"
	"io"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/labels"
)

// LawDecides is said wherever figures could be taken for what is due.
const LawDecides = "These are the figures of the book. The law of the place decides what is due, and on what."

// sheetOfPaper is a statement being printed: A4, one table after another.
type sheetOfPaper struct {
	*fpdf.Fpdf
	madeOn cellar.Day
}

const (
	printFamily = "DejaVu Sans"
	margin      = 18.0 // mm
	rowHeight   = 5.0
)

// The columns of the tables, mm; together they fill the page between the margins.
var printColumns = []struct {
	head  string
	width float64
}{{"", 70}, {"Pure alcohol, L", 26}, {"Proof gallons", 26}, {"Ethanol, mg", 26}, {"Water, mg", 26}}

// StatementPDF prints a statement made on a day. The same statement and day
// give the same bytes.
func StatementPDF(w io.Writer, s *book.Statement, madeOn cellar.Day) error {
	doc, err := newPaper(madeOn)
	if err != nil {
		return err
	}
	doc.heading(s)
	for _, section := range s.Sections {
		doc.section(book.SectionWords(section.Name), section)
	}
	for _, section := range s.Since {
		doc.section(book.SectionWords(section.Name)+", as it would be with what was found out since", section)
	}
	doc.estimate(s.Unposted, s.To)
	doc.losses(s.Losses)
	doc.Ln(rowHeight)
	doc.words(8, LawDecides+" Pure alcohol in litres at 20 °C, US proof gallons at 60 °F. Figures in milligrams are exact and add up; opening and closing are rounded to the nearest thousandth, and the lines between so that they add up too.")
	return doc.Output(w)
}

func newPaper(madeOn cellar.Day) (*sheetOfPaper, error) {
	font, err := labels.Files.ReadFile("fonts/DejaVuSans.ttf")
	if err != nil {
		return nil, err
	}
	doc := &sheetOfPaper{fpdf.New("P", "mm", "A4", ""), madeOn}
	fixed := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	doc.SetCreationDate(fixed)
	doc.SetModificationDate(fixed)
	doc.SetProducer("Croze", true)
	doc.SetTitle("Statement", true)
	doc.SetCatalogSort(true)
	doc.SetMargins(margin, margin, margin)
	doc.SetAutoPageBreak(true, margin)
	doc.AddUTF8FontFromBytes(printFamily, "", font)
	doc.SetFont(printFamily, "", 9)
	doc.SetFooterFunc(func() {
		doc.SetY(-12)
		doc.SetFontSize(7)
		doc.CellFormat(0, 5, fmt.Sprintf("Made on %s, page %d", doc.madeOn, doc.PageNo()), "", 0, "R", false, 0, "")
		doc.SetFontSize(9)
	})
	doc.AddPage()
	return doc, doc.Error()
}

// words prints a paragraph.
func (d *sheetOfPaper) words(size float64, text string) {
	d.SetFontSize(size)
	d.MultiCell(0, rowHeight*size/9, text, "", "L", false)
	d.SetFontSize(9)
}

func (d *sheetOfPaper) heading(s *book.Statement) {
	d.words(16, "Statement")
	d.words(11, fmt.Sprintf("%s to %s, both days included", s.From, s.To))
	vessels := "All vessels, and what is made and not yet filled."
	if len(s.Vessels) > 0 {
		vessels = "Vessels: " + strings.Join(s.Vessels, ", ") + "."
	}
	d.words(9, vessels)
	switch {
	case s.Closed > 0:
		d.words(9, fmt.Sprintf("Closed by entry %d: the figures are those of the closing.", s.Closed))
	case len(s.Cuts) > 0:
		d.words(9, "It has days of closed periods; its figures are what is known now, not those of the closings.")
	}
}

func (d *sheetOfPaper) section(title string, section book.Section) {
	const least = 30 // mm: no heading at the foot of a page
	if _, height := d.GetPageSize(); d.GetY() > height-margin-least {
		d.AddPage()
	}
	d.Ln(rowHeight / 2)
	d.words(11, title)
	d.SetFontSize(7.5)
	for _, c := range printColumns {
		d.CellFormat(c.width, rowHeight, c.head, "B", 0, "R", false, 0, "")
	}
	d.Ln(rowHeight)
	d.SetFontSize(9)
	for i, l := range section.Lines {
		border := ""
		if i == len(section.Lines)-1 {
			border = "T"
		}
		for j, cell := range []string{
			book.LineWords(l.Key), l.PureAlcoholL.String(), l.ProofGallons.String(), fmt.Sprint(l.Amount.EthanolMg), fmt.Sprint(l.Amount.WaterMg),
		} {
			align := "R"
			if j == 0 {
				align = "L"
			}
			d.CellFormat(printColumns[j].width, rowHeight, cell, border, 0, align, false, 0, "")
		}
		d.Ln(rowHeight)
	}
}

func (d *sheetOfPaper) estimate(u book.Unposted, at cellar.Day) {
	if u.Vessels == 0 {
		return
	}
	d.Ln(rowHeight / 2)
	d.words(11, "Not posted yet: an estimate, in none of the figures above")
	d.words(9, fmt.Sprintf("By the end of %s about %.2f L of pure alcohol (%.2f to %.2f, nine times in ten) may have left %d vessels since they were last gauged.",
		at, u.MeanL, u.LowL, u.HighL, u.Vessels))
}

func (d *sheetOfPaper) losses(losses []book.ListedLoss) {
	if len(losses) == 0 {
		return
	}
	d.Ln(rowHeight / 2)
	d.words(11, "Losses above the limit of their kind")
	for _, l := range losses {
		text := fmt.Sprintf("%s (%s): %.3f L of pure alcohol in %d days, %.1f %% a year; the limit is %g %%, %.3f L.",
			l.Vessel, l.Kind, l.LostL, l.Days, l.PctPerYear, l.LimitPct, l.AllowedL)
		for _, said := range l.Said {
			text += fmt.Sprintf(" %s: %s.", said.Who, strings.TrimSuffix(said.Words, "."))
		}
		if len(l.Said) == 0 {
			text += " Not explained."
		}
		d.words(9, text)
	}
}
