package exchange_test

import (
	"bytes"
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/demo"
	"example.org/croze/internal/exchange"
	"example.org/croze/internal/journal"
)

// yearOfTheDemo is a statement of a whole year with everything in it: a closed
// period, a late entry, losses above a limit, and words for one.
func yearOfTheDemo(t *testing.T) *book.Statement {
	t.Helper()
	now := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	ids := 0
	newID := func(time.Time) string {
		ids++
		return "01J" + strings.Repeat("0", 23-len(strconv.Itoa(ids))) + strconv.Itoa(ids)
	}
	story, err := demo.Tell(7, now)
	must(t, err)
	j := journal.NewMemory()
	must(t, story.Write(j, newID))
	b, err := book.Open(j, book.Edge{Now: func() time.Time { return now }, NewID: newID})
	must(t, err)
	_, err = b.ClosePeriod("", "keeper", book.Period{From: cellar.Date(2024, 1, 1), To: cellar.Date(2024, 12, 31)}, nil, "")
	must(t, err)
	must(t, b.SetLimit("", "owner", cellar.Limit{Of: cellar.Cask, PctPerYear: 1}))
	year := book.Period{From: cellar.Date(2025, 1, 1), To: cellar.Date(2025, 12, 31)}
	var s *book.Statement
	look := func(v *book.View) (err error) {
		s, err = v.Statement(year, nil)
		return err
	}
	must(t, b.See(book.Moment{}, look))
	must(t, b.ExplainLoss("", "owner", cellar.Explain{Vessel: s.Losses[0].Vessel, From: year.From, To: year.To, Words: "Zu trocken; żółć ½ off the bung"}))
	must(t, b.See(book.Moment{}, look))
	return s
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// rowsAddUp adds up what a spreadsheet would: within each section every column
// of figures, in whole units of its last decimal.
func rowsAddUp(t *testing.T, rows [][]string) {
	t.Helper()
	head := strings.Join(rows[0], ",")
	if head != "from,to,vessels,section,line,what,ethanol_mg,water_mg,pure_alcohol_l,proof_gallons" {
		t.Fatalf("the columns are %s", head)
	}
	sums, closings := map[string][4]int64{}, map[string][4]int64{}
	for _, row := range rows[1:] {
		figures := figuresOf(t, row)
		sum := sums[row[3]]
		for i, f := range figures {
			if row[4] == "closing" {
				closings[row[3]] = figures
			} else {
				sum[i] += f
			}
		}
		sums[row[3]] = sum
	}
	if len(closings) != 4 {
		t.Errorf("%d sections, want 4", len(closings))
	}
	for section, closing := range closings {
		if sums[section] != closing {
			t.Errorf("%s adds up to %v, closes with %v", section, sums[section], closing)
		}
	}
}

// figuresOf reads the four figures of a row: milligrams, and thousandths.
func figuresOf(t *testing.T, row []string) (figures [4]int64) {
	t.Helper()
	for i := range 2 {
		x, err := strconv.ParseFloat(row[6+i], 64) // a workbook may write 1.2E+08
		must(t, err)
		figures[i] = int64(x)
	}
	for i := 2; i < 4; i++ {
		whole, decimals, _ := strings.Cut(row[6+i], ".")
		x, err := strconv.ParseInt(whole+(decimals + "000")[:3], 10, 64)
		must(t, err)
		if len(decimals) > 3 {
			t.Errorf("%s has more than three decimals", row[6+i])
		}
		figures[i] = x
	}
	return figures
}

func TestTheExportedStatementAddsUp(t *testing.T) {
	s := yearOfTheDemo(t)
	var text, workbook bytes.Buffer
	must(t, exchange.Statement(s).WriteCSV(&text))
	rows, err := csv.NewReader(&text).ReadAll()
	must(t, err)
	rowsAddUp(t, rows)
	must(t, exchange.Statement(s).WriteXLSX(&workbook))
	f, err := excelize.OpenReader(&workbook)
	must(t, err)
	cells, err := f.GetRows("Statement", excelize.Options{RawCellValue: true})
	must(t, err)
	rowsAddUp(t, cells)
	if len(cells) != len(rows) {
		t.Errorf("%d rows in the workbook, %d in the text", len(cells), len(rows))
	}
	must(t, f.Close())
	printed(t, s)
}

// printed reads the printed statement as a person would, and adds it up.
func printed(t *testing.T, s *book.Statement) {
	t.Helper()
	var first, second bytes.Buffer
	must(t, exchange.StatementPDF(&first, s, cellar.Date(2026, 11, 25)))
	must(t, exchange.StatementPDF(&second, s, cellar.Date(2026, 11, 25)))
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("the same statement is printed in two ways")
	}
	file := filepath.Join(t.TempDir(), "s.pdf")
	must(t, os.WriteFile(file, first.Bytes(), 0o600))
	out, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		t.Fatalf("pdftotext (of poppler-utils): %v", err)
	}
	text := string(out)
	for _, want := range []string{
		"Statement", "2025-01-01 to 2025-12-31, both days included", "All spirit in the store", "Made and not yet filled",
		"an estimate, in none of the figures above", "Losses above the limit of their kind", "Zu trocken; żółć ½ off the bung",
		"The law of the place decides what is due", "Made on 2026-11-25, page 1",
	} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("it does not say %q:\n%s", want, text)
		}
	}
	printedAddsUp(t, text, s)
}

// printedAddsUp finds every line of every section with its figures.
func printedAddsUp(t *testing.T, text string, s *book.Statement) {
	t.Helper()
	found := make(map[string]int)
	for _, line := range strings.Split(text, "\n") {
		found[strings.Join(strings.Fields(line), " ")]++
	}
	for _, section := range s.Sections {
		for _, l := range section.Lines {
			want := strings.Join([]string{
				book.LineWords(l.Key), l.PureAlcoholL.String(), l.ProofGallons.String(),
				strconv.FormatInt(l.Amount.EthanolMg, 10), strconv.FormatInt(l.Amount.WaterMg, 10),
			}, " ")
			if found[want] == 0 {
				t.Errorf("%s: the line %q is not printed", section.Name, want)
			}
		}
	}
}
