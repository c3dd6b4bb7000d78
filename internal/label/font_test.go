package label

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"math"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"

	"example.org/croze/labels"
)

func TestFontIsTheOneThatIsListed(t *testing.T) {
	list, err := labels.Files.ReadFile("fonts/README.md")
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(font().data)
	for _, row := range strings.Split(string(list), "\n") {
		if strings.Contains(row, "| DejaVuSans.ttf |") && strings.Contains(row, hex.EncodeToString(sum[:])) {
			return
		}
	}
	t.Errorf("labels/fonts/README.md lists no DejaVuSans.ttf of sum %x", sum)
}

// The PDF library reads the same file by its own code.
func TestWidthsAgreeWithThePDFLibrary(t *testing.T) {
	doc := fpdf.New("P", "mm", "A4", "")
	doc.AddUTF8FontFromBytes("f", "", font().data)
	doc.SetFont("f", "", 10)
	for _, s := range []string{"7K4-M2W", "Fût — Żółć ½", "mmmmmmmm", "iiii", "63.4 % vol", "Ωμέγα Жук", "…"} {
		if got, want := font().width(s, 10), doc.GetStringWidth(s); math.Abs(got-want) > 0.01*float64(len(s)) {
			t.Errorf("%q is %.4f mm wide, the PDF library says %.4f", s, got, want)
		}
	}
}

func TestFontHas(t *testing.T) {
	for _, r := range "AZaz09…½ŻłćûßøЖΩ�" {
		if !font().has(r) {
			t.Errorf("%c is missing", r)
		}
	}
	for _, r := range []rune{'\n', 0x1f37a, 0xe000 - 1} {
		if font().has(r) {
			t.Errorf("%U is said to be there", r)
		}
	}
}

func TestDamagedFontIsRefused(t *testing.T) {
	whole := font().data
	for _, damaged := range [][]byte{nil, whole[:11], whole[:200], whole[:len(whole)/2], bytes.Repeat([]byte{0xff}, 4000)} {
		if _, err := readTypeface(damaged); err == nil {
			t.Errorf("a font of %d damaged bytes is read without complaint", len(damaged))
		}
	}
}
