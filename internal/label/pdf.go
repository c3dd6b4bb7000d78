package label

import (
	"fmt"
	"io"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// Options of a PDF.
type Options struct {
	Skip int // places left empty on the first page, for a sheet that was begun
}

// fontFamily is the name of the embedded font.
const fontFamily = "DejaVu Sans"

// PDF writes labels on as many pages as they need: real text, the QR codes as
// rectangles. The same input gives the same bytes.
func PDF(w io.Writer, layout Layout, labels []Label, options Options) error {
	switch {
	case len(labels) == 0:
		return fmt.Errorf("labels: none to print: choose at least one")
	case len(labels) > MostLabels:
		return fmt.Errorf("labels: %d are too many for one file: print at most %d at a time", len(labels), MostLabels)
	case options.Skip < 0 || options.Skip >= layout.PerPage():
		return fmt.Errorf("skip: %d: the sheet has %d places: leave 0 to %d empty", options.Skip, layout.PerPage(), layout.PerPage()-1)
	}
	doc := newDocument(layout)
	for i, label := range labels {
		composed, err := compose(layout, label, 0)
		if err != nil {
			return err
		}
		place := (options.Skip + i) % layout.PerPage()
		if i == 0 || place == 0 {
			doc.AddPage()
		}
		x, y := layout.corner(place)
		drawModules(doc, layout, composed, x, y)
		for _, line := range composed.words {
			doc.SetFontSize(line.pt)
			doc.Text(x+line.left, y+line.baseline, line.text)
		}
	}
	return doc.Output(w)
}

func newDocument(layout Layout) *fpdf.Fpdf {
	doc := fpdf.NewCustom(&fpdf.InitType{
		UnitStr: "mm",
		Size:    fpdf.SizeType{Wd: layout.Page.Width, Ht: layout.Page.Height},
	})
	// Fixed, so that the same labels are the same file.
	made := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	doc.SetCreationDate(made)
	doc.SetModificationDate(made)
	doc.SetProducer("Croze", true)
	doc.SetTitle("Labels", true)
	doc.SetCatalogSort(true)
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	doc.AddUTF8FontFromBytes(fontFamily, "", font().data)
	doc.SetFont(fontFamily, "", layout.Text.Line)
	return doc
}

// drawModules fills all rectangles of a code as one path: no seams between
// them, whatever the printer's resolution. PDF counts points from the bottom.
func drawModules(doc *fpdf.Fpdf, layout Layout, c composition, x, y float64) {
	const perMM = 1 / mmPerPoint
	var path strings.Builder
	for _, r := range c.code.runs() {
		left := x + c.left + float64(r.x)*c.module
		bottom := layout.Page.Height - (y + c.top + float64(r.y+1)*c.module)
		fmt.Fprintf(&path, "%.4f %.4f %.4f %.4f re\n", left*perMM, bottom*perMM, float64(r.length)*c.module*perMM, c.module*perMM)
	}
	doc.SetFillColor(0, 0, 0)
	doc.RawWriteStr(path.String() + "f\n")
}
