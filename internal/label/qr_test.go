package label

import (
	"image"
	"image/color"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
)

// drawn is a code as a picture of four pixels to a module.
func drawn(code matrix) image.Image {
	const scale = 4
	picture := image.NewGray(image.Rect(0, 0, len(code)*scale, len(code)*scale))
	for y := range len(code) * scale {
		for x := range len(code) * scale {
			if !code[y/scale][x/scale] {
				picture.SetGray(x, y, color.Gray{255})
			}
		}
	}
	return picture
}

// The first four bits of the data say the mode: 0010 is alphanumeric (ISO/IEC
// 18004, table of mode indicators). An independent decoder gives the data.
func TestAddressIsEncodedInAlphanumericMode(t *testing.T) {
	for _, publicURL := range []string{shortAddress, longAddress} {
		label := caskLabel(t, publicURL, 3)
		code, err := encode(label.Address, 50)
		if err != nil {
			t.Fatal(err)
		}
		bitmap, err := gozxing.NewBinaryBitmapFromImage(drawn(code))
		if err != nil {
			t.Fatal(err)
		}
		result, err := qrcode.NewQRCodeReader().Decode(bitmap, nil)
		if err != nil {
			t.Fatal(err)
		}
		if mode := result.GetRawBytes()[0] >> 4; mode != 0b0010 {
			t.Errorf("%s is encoded in mode %04b, want alphanumeric, 0010", label.Address, mode)
		}
		length := int(result.GetRawBytes()[0]&0x0f)<<5 | int(result.GetRawBytes()[1]>>3)
		if length != len(label.Address) {
			t.Errorf("the first segment holds %d characters of %d: the code is split into modes", length, len(label.Address))
		}
		level := result.GetResultMetadata()[gozxing.ResultMetadataType_ERROR_CORRECTION_LEVEL]
		if level != decoder.ErrorCorrectionLevel_Q.String() && level != decoder.ErrorCorrectionLevel_H.String() {
			t.Errorf("%s has error correction %v, want Q or H", label.Address, level)
		}
	}
}

func TestCodeKeepsItsQuietZone(t *testing.T) {
	code, err := encode(caskLabel(t, shortAddress, 1).Address, 50)
	if err != nil {
		t.Fatal(err)
	}
	side := len(code)
	for y, row := range code {
		for x, dark := range row {
			border := min(x, y, side-1-x, side-1-y) < quietZone
			if dark && border {
				t.Fatalf("module %d, %d of the quiet zone is dark", x, y)
			}
		}
	}
	if !code[quietZone][quietZone] {
		t.Error("the first module inside the quiet zone is not dark")
	}
}

func TestRunsDrawTheWholeCode(t *testing.T) {
	code, err := encode(caskLabel(t, longAddress, 1).Address, 50)
	if err != nil {
		t.Fatal(err)
	}
	again := make(matrix, len(code))
	for i := range again {
		again[i] = make([]bool, len(code))
	}
	for _, r := range code.runs() {
		for x := r.x; x < r.x+r.length; x++ {
			again[r.y][x] = true
		}
	}
	for y := range code {
		for x := range code[y] {
			if code[y][x] != again[y][x] {
				t.Fatalf("module %d, %d differs", x, y)
			}
		}
	}
}
