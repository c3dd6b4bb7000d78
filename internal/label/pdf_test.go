package label

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
)

func TestSameLabelsAreTheSameBytes(t *testing.T) {
	layout := findLayout(t, "a4-2x7")
	first := pdfOf(t, layout, sheetOf(t, shortAddress, 20), Options{Skip: 3})
	second := pdfOf(t, layout, sheetOf(t, shortAddress, 20), Options{Skip: 3})
	if !bytes.Equal(first, second) {
		t.Error("the same labels gave two different files")
	}
}

func TestTextIsText(t *testing.T) {
	layout := findLayout(t, "a4-2x7")
	label := caskLabel(t, shortAddress, 5)
	label.Lines = append(label.Lines, "stout \U0001f37a", `(brackets) \ and & <signs>`)
	path := kept(t, "text.pdf", pdfOf(t, layout, []Label{label}, Options{}))
	text := string(runTool(t, "pdftotext", "-layout", path, "-"))
	for _, want := range []string{label.Code, "Fût — Żółć ½", "Filled 14 March 2021", "63.4 % vol", "stout \ufffd", `(brackets) \ and & <signs>`} {
		if !strings.Contains(text, want) {
			t.Errorf("the PDF's text lacks %q:\n%s", want, text)
		}
	}
}

func TestSkippedPlacesStayEmpty(t *testing.T) {
	layout := findLayout(t, "letter-3x10")
	sheet := sheetOf(t, shortAddress, 4)
	pages := wordsOf(t, pdfOf(t, layout, sheet, Options{Skip: 28}))
	if len(pages) != 2 {
		t.Fatalf("4 labels after 28 empty places take %d pages, want 2", len(pages))
	}
	for n, place := range []struct{ page, place int }{{0, 28}, {0, 29}, {1, 0}, {1, 1}} {
		x, y := layout.corner(place.place)
		found := false
		for _, word := range pages[place.page].Words {
			found = found || word.Text == sheet[n].Code && word.in(x, y, layout)
		}
		if !found {
			t.Errorf("label %d does not stand at place %d of page %d", n, place.place, place.page)
		}
	}
}

// The words' boxes as another program finds them in the finished file.
func TestWordsStayOnTheirLabels(t *testing.T) {
	for _, layout := range builtIn(t) {
		sheet := sheetOf(t, longAddress, layout.PerPage())
		for i := range sheet {
			sheet[i].Code = strings.Repeat("W", 1+i%40)
			sheet[i].Kind = strings.Repeat("Hogshead ", 1+i%9)
			sheet[i].Lines = append(sheet[i].Lines, strings.Repeat("Fût — Żółć ½ ", 1+i%12), "one", "two", "three", "four", "five")
		}
		pages := wordsOf(t, pdfOf(t, layout, sheet, Options{}))
		if len(pages) != 1 || len(pages[0].Words) < layout.PerPage() {
			t.Fatalf("%s: %d pages", layout.Name, len(pages))
		}
		for _, word := range pages[0].Words {
			inside := false
			for place := range layout.PerPage() {
				x, y := layout.corner(place)
				inside = inside || word.in(x, y, layout)
			}
			if !inside {
				t.Errorf("%s: %q lies over the edge of its label: %+v", layout.Name, word.Text, word)
			}
		}
	}
}

type pdfPage struct {
	Words []pdfWord `xml:"word"`
}

type pdfWord struct {
	Left   float64 `xml:"xMin,attr"` // points from the top left of the page
	Top    float64 `xml:"yMin,attr"`
	Right  float64 `xml:"xMax,attr"`
	Bottom float64 `xml:"yMax,attr"`
	Text   string  `xml:",chardata"`
}

// in says whether a word stands on the label whose corner is at x, y mm.
func (w pdfWord) in(x, y float64, layout Layout) bool {
	const rounding = 0.02 // mm: the file gives text positions to 0.01 pt
	return w.Left*mmPerPoint >= x-rounding && w.Right*mmPerPoint <= x+layout.Label.Width+rounding &&
		w.Top*mmPerPoint >= y-rounding && w.Bottom*mmPerPoint <= y+layout.Label.Height+rounding
}

func wordsOf(t *testing.T, pdf []byte) []pdfPage {
	t.Helper()
	path := kept(t, "words.pdf", pdf)
	out := runTool(t, "pdftotext", "-bbox", path, "-")
	var page struct {
		Pages []pdfPage `xml:"body>doc>page"`
	}
	if err := xml.Unmarshal(out, &page); err != nil {
		t.Fatal(err)
	}
	return page.Pages
}

func TestPDFRefuses(t *testing.T) {
	layout := findLayout(t, "a4-3x8")
	good := caskLabel(t, shortAddress, 0)
	cases := []struct {
		labels  []Label
		options Options
		reason  string
	}{
		{nil, Options{}, "none to print"},
		{make([]Label, MostLabels+1), Options{}, "too many"},
		{[]Label{good}, Options{Skip: -1}, "skip"},
		{[]Label{good}, Options{Skip: 24}, "24 places"},
		{[]Label{good, {}}, Options{}, "code: is empty"},
		{[]Label{{Code: "A"}}, Options{}, "address: is empty"},
		{[]Label{{Code: "A", Address: good.Address, Lines: make([]string, 21)}}, Options{}, "at most 20"},
		{[]Label{{Code: "A", Address: "HTTPS://" + strings.Repeat("A", 3000)}}, Options{}, "shorter public address"},
		{[]Label{{Code: "A", Address: "HTTPS://" + strings.Repeat("A", 300)}}, Options{}, "shorter public address"},
	}
	for _, c := range cases {
		if err := PDF(io.Discard, layout, c.labels, c.options); err == nil || !strings.Contains(err.Error(), c.reason) {
			t.Errorf("%v; want an error saying %q", err, c.reason)
		}
	}
}

func BenchmarkPDF120(b *testing.B) {
	layout := findLayout(b, "a4-3x8")
	sheet := make([]Label, 120)
	for i := range sheet {
		sheet[i] = caskLabel(b, shortAddress, i)
	}
	for b.Loop() {
		if err := PDF(io.Discard, layout, sheet, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleAddress() {
	address, err := Address("https://cellar.example", Vessel, cellar.IssueCode(0))
	fmt.Println(address, err)
	// Output: HTTPS://CELLAR.EXAMPLE/V/2A2-A2C <nil>
}
