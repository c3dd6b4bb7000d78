package photo

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	_ "image/png" // pictures may come as PNG

	"example.org/croze/internal/cellar"
)

const (
	longestSide = 1600 // pixels of a kept picture
	mostPixels  = 40e6 // of one that comes in
	quality     = 85
)

func unfit(reason string) error {
	return &cellar.Problem{Kind: cellar.Invalid, Field: "photo", Reason: reason}
}

// cleaned decodes a picture, turns it the right way up, makes it small enough
// and encodes it again.
func cleaned(data []byte) ([]byte, error) {
	if len(data) > MostBytes {
		return nil, unfit("the picture is larger than 12 MB: take a smaller one")
	}
	size, _, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, unfit("that is no JPEG or PNG picture")
	}
	if size.Width < 1 || size.Height < 1 || float64(size.Width)*float64(size.Height) > mostPixels {
		return nil, unfit("the picture has too many pixels: take a smaller one")
	}
	picture, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, unfit("the picture is damaged: take it again")
	}
	var out bytes.Buffer
	err = jpeg.Encode(&out, upright(picture, orientationOf(data)), &jpeg.Options{Quality: quality})
	return out.Bytes(), err
}

// upright turns a picture as its orientation says (1 to 8, as cameras write it)
// and shrinks it to the longest side by averaging.
func upright(picture image.Image, orientation int) image.Image {
	width, height := picture.Bounds().Dx(), picture.Bounds().Dy()
	from := image.NewRGBA(image.Rect(0, 0, width, height))
	draw.Draw(from, from.Rect, picture, picture.Bounds().Min, draw.Src)
	turned := orientation >= 5
	if turned {
		width, height = height, width
	}
	step := max(1, (max(width, height)+longestSide-1)/longestSide)
	out := image.NewRGBA(image.Rect(0, 0, max(1, width/step), max(1, height/step)))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			out.SetRGBA(x, y, average(from, x*step, y*step, step, width, height, orientation))
		}
	}
	return out
}

// average mixes a square of the upright picture.
func average(from *image.RGBA, left, top, step, width, height, orientation int) color.RGBA {
	var r, g, b, n int
	for y := top; y < min(top+step, height); y++ {
		for x := left; x < min(left+step, width); x++ {
			u, v := source(x, y, width, height, orientation)
			c := from.RGBAAt(u, v)
			r, g, b, n = r+int(c.R), g+int(c.G), b+int(c.B), n+1
		}
	}
	return color.RGBA{uint8(r / n), uint8(g / n), uint8(b / n), 255}
}

// source says where a point of the upright picture, width by height, is in the
// picture as it was stored.
func source(x, y, width, height, orientation int) (u, v int) {
	switch orientation {
	case 2:
		return width - 1 - x, y
	case 3:
		return width - 1 - x, height - 1 - y
	case 4:
		return x, height - 1 - y
	case 5:
		return y, x
	case 6:
		return y, width - 1 - x
	case 7:
		return height - 1 - y, width - 1 - x
	case 8:
		return height - 1 - y, x
	}
	return x, y
}
