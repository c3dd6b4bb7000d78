package label

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"image"
	"image/color"
	"strconv"
	"strings"
	"testing"
)

// zplField is a field of a label as a printer reads it.
type zplField struct {
	x, y    int
	height  int // dots, of text
	text    string
	graphic image.Image
}

type zplLabel struct {
	width, length int
	fields        []zplField
}

// parseZPL reads the commands that ZPL writes and fails on any other, so that
// text cannot pass for a command.
func parseZPL(t *testing.T, source string) (label zplLabel) {
	t.Helper()
	if !strings.HasPrefix(source, "^XA") || !strings.HasSuffix(source, "^XZ\n") {
		t.Fatalf("a label begins with ^XA and ends with ^XZ: %.40q", source)
	}
	var field zplField
	for _, command := range strings.Split(strings.ReplaceAll(source, "\n", ""), "^")[1:] {
		name, rest := command[:2], command[2:]
		switch name {
		case "XA", "CI", "LH", "PQ", "FH", "XZ":
		case "PW":
			label.width = number(t, rest)
		case "LL":
			label.length = number(t, rest)
		case "FO":
			x, y, _ := strings.Cut(rest, ",")
			field = zplField{x: number(t, x), y: number(t, y)}
		case "A0":
			field.height = number(t, strings.Split(rest, ",")[1])
		case "FD":
			field.text = unescapedZPL(t, rest)
		case "GF":
			field.graphic = zplGraphic(t, rest)
		case "FS":
			label.fields = append(label.fields, field)
		default:
			t.Fatalf("unknown command ^%s%s", name, rest)
		}
	}
	return label
}

func number(t *testing.T, s string) int {
	t.Helper()
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func unescapedZPL(t *testing.T, s string) string {
	t.Helper()
	parts := strings.Split(s, "_")
	out := parts[0]
	for _, part := range parts[1:] {
		b, err := hex.DecodeString(part[:2])
		if err != nil {
			t.Fatal(err)
		}
		out += string(b) + part[2:]
	}
	return out
}

// zplGraphic unpacks ^GFA: rows in hexadecimal, a colon repeats the row before.
func zplGraphic(t *testing.T, s string) image.Image {
	t.Helper()
	parts := strings.SplitN(s, ",", 5)
	total, rowBytes := number(t, parts[1]), number(t, parts[3])
	var rows [][]byte
	for data := parts[4]; data != ""; {
		if data[0] == ':' {
			rows, data = append(rows, rows[len(rows)-1]), data[1:]
			continue
		}
		row, err := hex.DecodeString(data[:2*rowBytes])
		if err != nil {
			t.Fatal(err)
		}
		rows, data = append(rows, row), data[2*rowBytes:]
	}
	if parts[0] != "A" || len(rows)*rowBytes != total || parts[2] != parts[1] {
		t.Fatalf("^GF says %d bytes and holds %d", total, len(rows)*rowBytes)
	}
	picture := image.NewGray(image.Rect(0, 0, rowBytes*8, len(rows)))
	for y, row := range rows {
		for x := range rowBytes * 8 {
			if row[x/8]&(0x80>>(x%8)) == 0 {
				picture.SetGray(x, y, color.Gray{255})
			}
		}
	}
	return picture
}

func zplOf(t *testing.T, layout Layout, label Label) zplLabel {
	t.Helper()
	var out bytes.Buffer
	if err := ZPL(&out, layout, label); err != nil {
		t.Fatal(err)
	}
	for _, c := range out.Bytes() {
		if c != '\n' && (c < 0x20 || c > 0x7e) {
			t.Fatalf("printer text holds byte %#x: it should be plain ASCII", c)
		}
	}
	return parseZPL(t, out.String())
}

func TestPrinterText(t *testing.T) {
	for _, layout := range builtIn(t) {
		label := caskLabel(t, shortAddress, 9)
		label.Lines = []string{"Fût — Żółć ½", `^XZ ~JA _41 \&`}
		got := zplOf(t, layout, label)
		if got.width != int(layout.Label.Width*8) || got.length != int(layout.Label.Height*8) {
			t.Errorf("%s: %d by %d dots", layout.Name, got.width, got.length)
		}
		if len(got.fields) != 5 { // graphic, code, kind and two lines
			t.Fatalf("%s: %d fields, want 5", layout.Name, len(got.fields))
		}
		if got.fields[1].text != label.Code || got.fields[3].text != label.Lines[0] || got.fields[4].text != label.Lines[1] {
			t.Errorf("%s: fields %+v", layout.Name, got.fields[1:])
		}
		for _, field := range got.fields {
			width, height := int(font().width(field.text, float64(field.height)/mmPerPoint)), field.height
			if field.graphic != nil {
				width, height = field.graphic.Bounds().Dx(), field.graphic.Bounds().Dy()
			}
			if field.x < 0 || field.y < 0 || field.x+width > got.width || field.y+height > got.length {
				t.Errorf("%s: a field at %d, %d of %d by %d dots leaves the label", layout.Name, field.x, field.y, width, height)
			}
		}
	}
}

// Whole dots do not make the modules finer than the reading distance allows.
func TestPrinterModulesAreLargeEnough(t *testing.T) {
	for _, layout := range builtIn(t) {
		for _, dots := range []int{6, 8, 12, 24} {
			layout.Printer.Dots = dots
			label := caskLabel(t, shortAddress, 4)
			var out bytes.Buffer
			if err := ZPL(&out, layout, label); err != nil {
				if !strings.Contains(err.Error(), "to read it from") {
					t.Error(err)
				}
				continue
			}
			graphic := parseZPL(t, out.String()).fields[0].graphic
			composed, err := compose(layout, label, dots)
			if err != nil {
				t.Fatal(err)
			}
			module := graphic.Bounds().Dy() / len(composed.code)
			if float64(module)/float64(dots) < layout.Code.ReadFrom/modulesInDistance-1e-9 {
				t.Errorf("%s at %d dots: a module of %d dots is too fine", layout.Name, dots, module)
			}
		}
	}
}

func TestPrinterGraphicIsReadByTwoDecoders(t *testing.T) {
	for _, dots := range []int{8, 12, 24} {
		var pictures []image.Image
		var want []string
		for _, layout := range builtIn(t) {
			layout.Printer.Dots = dots
			for n := range 4 {
				label := caskLabel(t, longAddress, n)
				pictures = append(pictures, zplOf(t, layout, label).fields[0].graphic)
				want = append(want, label.Address)
			}
		}
		expectBoth(t, fmt.Sprintf("%d dots to a millimetre", dots), 1, pictures, want)
	}
}
