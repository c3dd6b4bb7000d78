package photo

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
)

// fourCorners is a picture whose corners have colours of their own.
func fourCorners(width, height int) *image.RGBA {
	p := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			c := color.RGBA{0, 0, 0, 255}
			if x >= width/2 {
				c.R = 255
			}
			if y >= height/2 {
				c.B = 255
			}
			p.SetRGBA(x, y, c)
		}
	}
	return p
}

func asPNG(t *testing.T, p image.Image) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := png.Encode(&out, p); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// asHeld is a JPEG with an Exif segment that says how the camera was held, and where.
func asHeld(t *testing.T, p image.Image, orientation uint16, order binary.AppendByteOrder) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, p, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	tiff := []byte("II*\x00\x08\x00\x00\x00")
	if order == binary.AppendByteOrder(binary.BigEndian) {
		tiff = []byte("MM\x00*\x00\x00\x00\x08")
	}
	tiff = order.AppendUint16(tiff, 2)
	for _, field := range [][2]uint16{{0x0100, 7}, {tagTurned, orientation}} {
		tiff = order.AppendUint16(tiff, field[0])
		tiff = order.AppendUint16(tiff, 3)
		tiff = order.AppendUint32(tiff, 1)
		tiff = order.AppendUint16(tiff, field[1])
		tiff = append(tiff, 0, 0)
	}
	tiff = append(tiff, "Rafter loft, third beam"...)
	segment := append([]byte("Exif\x00\x00"), tiff...)
	head := binary.BigEndian.AppendUint16([]byte{0xff, 0xd8, 0xff, 0xe1}, uint16(len(segment)+2))
	return append(append(head, segment...), out.Bytes()[2:]...)
}

func TestKeepAndRead(t *testing.T) {
	f := Folder(filepath.Join(t.TempDir(), "photos"))
	name, err := f.Keep(asPNG(t, fourCorners(40, 20)))
	if err != nil {
		t.Fatal(err)
	}
	data, err := f.Read(name)
	if err != nil {
		t.Fatal(err)
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != name || !cellar.IsPhoto(name) {
		t.Errorf("it is kept as %s, its sum is %x", name, sum)
	}
	if _, err := jpeg.Decode(bytes.NewReader(data)); err != nil {
		t.Errorf("what is kept is no JPEG: %v", err)
	}
	if again, err := f.Keep(asPNG(t, fourCorners(40, 20))); err != nil || again != name {
		t.Errorf("the same picture is kept as %s (%v), and was as %s", again, err, name)
	}
	if files, err := os.ReadDir(string(f)); err != nil || len(files) != 1 {
		t.Errorf("%d files, %v, want one", len(files), err)
	}
}

func TestMetadataStaysBehind(t *testing.T) {
	held := asHeld(t, fourCorners(40, 20), 1, binary.LittleEndian)
	if !bytes.Contains(held, []byte("third beam")) {
		t.Fatal("the picture says nothing of where it was taken")
	}
	clean, err := cleaned(held)
	if err != nil || bytes.Contains(clean, []byte("third beam")) || bytes.Contains(clean, []byte("Exif")) {
		t.Errorf("cleaned (%v) it still says where it was taken", err)
	}
}

// The eight ways to hold a camera, by the corner (right, bottom) of the stored
// picture that is seen at the top left.
func TestPicturesStandUpright(t *testing.T) {
	for orientation, want := range map[uint16][2]bool{
		1: {false, false}, 2: {true, false}, 3: {true, true}, 4: {false, true},
		5: {false, false}, 6: {false, true}, 7: {true, true}, 8: {true, false},
	} {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			clean, err := cleaned(asHeld(t, fourCorners(48, 32), orientation, order))
			if err != nil {
				t.Fatal(err)
			}
			p, err := jpeg.Decode(bytes.NewReader(clean))
			if err != nil {
				t.Fatal(err)
			}
			if turned := p.Bounds().Dx() < p.Bounds().Dy(); turned != (orientation >= 5) {
				t.Errorf("held as %d it is %v", orientation, p.Bounds())
			}
			r, _, b, _ := p.At(4, 4).RGBA()
			if got := [2]bool{r > 0x8000, b > 0x8000}; got != want {
				t.Errorf("held as %d (%v) the corner at the top left is %v, want %v", orientation, order, got, want)
			}
		}
	}
}

func TestPicturesAreMadeSmaller(t *testing.T) {
	clean, err := cleaned(asPNG(t, fourCorners(3200, 800)))
	if err != nil {
		t.Fatal(err)
	}
	size, err := jpeg.DecodeConfig(bytes.NewReader(clean))
	if err != nil || size.Width > longestSide || size.Width < longestSide/2 || size.Width != 4*size.Height {
		t.Errorf("it is %d by %d (%v)", size.Width, size.Height, err)
	}
}

func TestWhatIsNoPictureIsRefused(t *testing.T) {
	f := Folder(t.TempDir())
	sound := asPNG(t, fourCorners(40, 20))
	for what, data := range map[string][]byte{
		"nothing": nil, "a page": []byte("<!doctype html><script>1</script>"), "half a picture": sound[:len(sound)/2],
		"too much": bytes.Repeat([]byte{1}, MostBytes+1),
	} {
		if name, err := f.Keep(data); cellar.KindOf(err) != cellar.Invalid || !strings.Contains(err.Error(), "photo") {
			t.Errorf("%s is kept as %q: %v", what, name, err)
		}
	}
	if _, err := Folder("").Keep(sound); cellar.KindOf(err) != cellar.Refused {
		t.Errorf("a store without a folder: %v", err)
	}
	for _, name := range []string{"", "..", "../journal", strings.Repeat("0", 64)} {
		if _, err := f.Read(name); cellar.KindOf(err) != cellar.NotFound {
			t.Errorf("reading %q: %v", name, err)
		}
	}
}

func FuzzCleaned(f *testing.F) {
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x20Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12"))
	f.Add([]byte("\x89PNG\r\n\x1a\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if turned := orientationOf(data); turned < 1 || turned > 8 {
			t.Errorf("held as %d", turned)
		}
		if _, err := cleaned(data); err != nil && cellar.KindOf(err) == "" {
			t.Errorf("%v is no Problem", err)
		}
	})
}
