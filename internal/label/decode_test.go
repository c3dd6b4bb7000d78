package label

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// zxing decodes with a Go port of one decoder family.
func zxing(picture image.Image) (string, error) {
	bitmap, err := gozxing.NewBinaryBitmapFromImage(picture)
	if err != nil {
		return "", err
	}
	hints := map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true}
	result, err := qrcode.NewQRCodeReader().Decode(bitmap, hints)
	if err != nil {
		return "", err
	}
	return result.GetText(), nil
}

// zbar decodes pictures with zbarimg, a decoder of another family, all in one
// call; a picture that is not read gives "".
func zbar(t *testing.T, pictures []image.Image) []string {
	t.Helper()
	folder := t.TempDir()
	args := []string{"--quiet", "--xml", "-Sdisable", "-Sqrcode.enable"}
	index := map[string]int{}
	for i, picture := range pictures {
		path := filepath.Join(folder, fmt.Sprintf("%04d.png", i))
		writePNG(t, path, picture)
		index[path] = i
		args = append(args, path)
	}
	out, err := exec.Command("zbarimg", args...).Output()
	// Exit code 4 says that some picture held no code: the test will say which.
	if exit, ok := err.(*exec.ExitError); err != nil && !(ok && exit.ExitCode() == 4) {
		t.Fatalf("zbarimg: %v", err)
	}
	var found struct {
		Sources []struct {
			Path string `xml:"href,attr"`
			Data string `xml:"index>symbol>data"`
		} `xml:"source"`
	}
	if err := xml.Unmarshal(out, &found); err != nil {
		t.Fatalf("zbarimg: %v", err)
	}
	texts := make([]string, len(pictures))
	for _, source := range found.Sources {
		texts[index[source.Path]] = source.Data
	}
	return texts
}

func writePNG(t *testing.T, path string, picture image.Image) {
	t.Helper()
	var out bytes.Buffer
	if err := png.Encode(&out, picture); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
}

// cropped copies one label out of a page, given in mm.
func cropped(page image.Image, x, y, width, height, perMM float64) *image.Gray {
	bounds := image.Rect(int(x*perMM), int(y*perMM), int((x+width)*perMM), int((y+height)*perMM)).Intersect(page.Bounds())
	crop := image.NewGray(image.Rect(0, 0, bounds.Dx(), bounds.Dy()))
	draw.Draw(crop, crop.Bounds(), page, bounds.Min, draw.Src)
	return crop
}

// smudge covers a tenth of the area of a code (quiet zone left out) with a
// square blot somewhere off the marks by which decoders find a code: the three
// in the corners and the small one before the fourth. No error correction
// covers those.
func smudge(picture *image.Gray, layout Layout, modules int, random *rand.Rand, perMM float64) {
	module := layout.codeArea().width * perMM / float64(modules)
	inner := float64(modules - 2*quietZone)
	side := inner * math.Sqrt(0.1)
	x, y := 0.0, 0.0
	for hitsMark(x, y, side, inner) {
		x, y = random.Float64()*(inner-side), random.Float64()*(inner-side)
	}
	place := layout.codeArea()
	left, top := place.left*perMM+(quietZone+x)*module, place.top*perMM+(quietZone+y)*module
	blot := image.Rect(int(left), int(top), int(left+side*module), int(top+side*module))
	tone := color.Gray{[]uint8{0, 110, 255}[random.IntN(3)]}
	draw.Draw(picture, blot, image.NewUniform(tone), image.Point{}, draw.Src)
}

func hitsMark(x, y, side, inner float64) bool {
	const mark = 8 // the mark and its white border
	left, right := x < mark, x+side > inner-mark
	high, low := y < mark, y+side > inner-mark
	const near, far = 9.0, 4.0 // of the small mark's square from the lower right corner
	small := x+side > inner-near && x < inner-far && y+side > inner-near && y < inner-far
	return high && (left || right) || low && left || small
}

// turned is the picture given a quarter turn.
func turned(picture image.Image) image.Image {
	bounds := picture.Bounds()
	turn := image.NewGray(image.Rect(0, 0, bounds.Dy(), bounds.Dx()))
	for y := range bounds.Dy() {
		for x := range bounds.Dx() {
			turn.Set(bounds.Dy()-1-y, x, picture.At(bounds.Min.X+x, bounds.Min.Y+y))
		}
	}
	return turn
}

// zxingIn decodes as zxing does, with so many looks. A blot beside a mark can
// hide it from a decoder in one position and not in another; a scanner in the
// hand has many looks.
func zxingIn(looks int, picture image.Image) (text string, err error) {
	for range looks {
		if text, err = zxing(picture); err == nil {
			return text, nil
		}
		picture = turned(picture)
	}
	return text, err
}

// expectBoth asks both decoders for every picture. The second has one look.
func expectBoth(t *testing.T, what string, looks int, pictures []image.Image, want []string) {
	t.Helper()
	byZbar := zbar(t, pictures)
	for i, picture := range pictures {
		got, err := zxingIn(looks, picture)
		if err != nil || got != want[i] {
			t.Errorf("%s, label %d: first decoder read %q (%v), want %q", what, i, got, err, want[i])
		}
		if byZbar[i] != want[i] {
			t.Errorf("%s, label %d: second decoder read %q, want %q", what, i, byZbar[i], want[i])
		}
	}
}

func TestEveryPrintedLabelIsReadByTwoDecoders(t *testing.T) {
	const seed = 7
	for _, layout := range builtIn(t) {
		for _, publicURL := range []string{shortAddress, longAddress} {
			t.Run(layout.Name+" "+publicURL, func(t *testing.T) {
				random := rand.New(rand.NewPCG(seed, seed))
				sheet := sheetOf(t, publicURL, layout.PerPage())
				page := printed(t, pdfOf(t, layout, sheet, Options{}))
				perMM := printDPI / 25.4
				var clean, smudged []image.Image
				var want []string
				for i, label := range sheet {
					composed, err := compose(layout, label, 0)
					if err != nil {
						t.Fatal(err)
					}
					x, y := layout.corner(i)
					clean = append(clean, cropped(page, x, y, layout.Label.Width, layout.Label.Height, perMM))
					dirty := cropped(page, x, y, layout.Label.Width, layout.Label.Height, perMM)
					smudge(dirty, layout, len(composed.code), random, perMM)
					smudged = append(smudged, dirty)
					want = append(want, label.Address)
				}
				expectBoth(t, "clean", 1, clean, want)
				expectBoth(t, fmt.Sprintf("a tenth smudged (seed %d)", seed), 4, smudged, want)
			})
		}
	}
}

// From the distance that a layout promises, a phone with a picture 1280 pixels
// wide sees a field 1.2 times as wide as it is away. A label pictured so finely
// and no finer is still read, by both decoders.
func TestLabelsAreReadFromTheirDistance(t *testing.T) {
	for _, layout := range builtIn(t) {
		perMM := 1280 / (1.2 * layout.Code.ReadFrom)
		sheet := sheetOf(t, longAddress, min(layout.PerPage(), 12))
		page := printedAt(t, pdfOf(t, layout, sheet, Options{}), perMM*25.4)
		var pictures []image.Image
		var want []string
		for i, label := range sheet {
			x, y := layout.corner(i)
			pictures = append(pictures, cropped(page, x, y, layout.Label.Width, layout.Label.Height, perMM))
			want = append(want, label.Address)
		}
		expectBoth(t, fmt.Sprintf("%s from %v mm", layout.Name, layout.Code.ReadFrom), 4, pictures, want)
	}
}

// A whole sheet before one camera: the labels beside each other do not disturb.
func TestWholeSheetIsReadAtOnce(t *testing.T) {
	layout := findLayout(t, "a4-3x8")
	sheet := sheetOf(t, shortAddress, layout.PerPage())
	path := filepath.Join(t.TempDir(), "page.png")
	writePNG(t, path, printed(t, pdfOf(t, layout, sheet, Options{})))
	out := runTool(t, "zbarimg", "--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", path)
	read := map[string]bool{}
	for _, line := range bytes.Fields(out) {
		read[string(line)] = true
	}
	for _, label := range sheet {
		if !read[label.Address] {
			t.Errorf("%s is not read from the whole page", label.Address)
		}
	}
}

func TestEveryThingsLabelIsReadAsSVG(t *testing.T) {
	things := map[Thing]string{Vessel: "7K4-M2W", Batch: "Rye & oat 2021/7", BottleLot: "L24-3", Sample: "HL-200.5"}
	for _, layout := range builtIn(t) {
		var pictures []image.Image
		var want []string
		for thing, code := range things {
			label := labelFor(t, shortAddress, thing, code)
			label.Code = code
			pictures = append(pictures, drawnSVG(t, layout, label))
			want = append(want, label.Address)
		}
		expectBoth(t, layout.Name+" as SVG", 1, pictures, want)
	}
}

func drawnSVG(t *testing.T, layout Layout, label Label) image.Image {
	t.Helper()
	var out bytes.Buffer
	if err := SVG(&out, layout, label); err != nil {
		t.Fatal(err)
	}
	path := kept(t, "label.svg", out.Bytes())
	runTool(t, "rsvg-convert", "--dpi-x", fmt.Sprint(printDPI), "--dpi-y", fmt.Sprint(printDPI), "-o", path+".png", path)
	return readImage(t, path+".png")
}
