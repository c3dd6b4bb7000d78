package label

import (
	"fmt"
	"math"
)

// Where the words stand.
const (
	beside = "beside" // to the right of the QR code
	below  = "below"  // under it, centred
)

const textGap = 1.0 // mm between the QR code and the words

// area is a rectangle on the label in mm from its top left corner.
type area struct{ left, top, width, height float64 }

// words is one line of text, placed.
type words struct {
	text     string
	left     float64 // mm
	baseline float64 // mm from the top of the label
	width    float64 // mm, measured
	pt       float64
}

// composition is a label with everything in its place, in mm from its top left corner.
type composition struct {
	code   matrix
	module float64 // side of a module
	left   float64 // of the code, quiet zone included
	top    float64
	words  []words
}

// codeArea is the square of the QR code with its quiet zone.
func (l Layout) codeArea() area {
	side := l.Code.Side
	if l.Text.Where == below {
		return area{(l.Label.Width - side) / 2, l.Label.Padding, side, side}
	}
	return area{l.Label.Padding, (l.Label.Height - side) / 2, side, side}
}

// textArea is what the padding and the code leave for words.
func (l Layout) textArea() area {
	code, pad := l.codeArea(), l.Label.Padding
	if l.Text.Where == below {
		top := code.top + code.height + textGap
		return area{pad, top, l.Label.Width - 2*pad, l.Label.Height - pad - top}
	}
	left := code.left + code.width + textGap
	return area{left, pad, l.Label.Width - pad - left, l.Label.Height - 2*pad}
}

// The share of the reading distance that a module must measure. A phone held
// at a distance d sees a field some 1.2 d wide; in a picture 1280 pixels wide a
// module of d/400 is 2.7 pixels, and decoders want two and a half.
const modulesInDistance = 400

// leastModule is the smallest module, in mm, that the layout's distance allows,
// in whole dots of a printer of so many dots to a millimetre (0: any size).
func (l Layout) leastModule(dots int) float64 {
	least := l.Code.ReadFrom / modulesInDistance
	if dots > 0 {
		return math.Ceil(least*float64(dots)-1e-9) / float64(dots)
	}
	return least
}

// compose places a label. It fails when the code would be too fine to be read
// from the layout's distance.
func compose(layout Layout, label Label, dots int) (composition, error) {
	if err := label.check(); err != nil {
		return composition{}, err
	}
	place := layout.codeArea()
	least := layout.leastModule(dots)
	code, err := encode(label.Address, int(place.width/least+1e-9))
	if err != nil {
		return composition{}, fmt.Errorf("label %s: %w", label.Code, err)
	}
	module := place.width / float64(len(code))
	if module < least-1e-9 {
		return composition{}, fmt.Errorf(
			"label %s: the address of %d characters makes dots of %.2f mm on layout %s, and %.2f mm are wanted to read it from %v mm: use a larger label or a shorter public address",
			label.Code, len(label.Address), module, layout.Name, least, layout.Code.ReadFrom)
	}
	return composition{
		code: code, module: module, left: place.left, top: place.top,
		words: setWords(layout, label),
	}, nil
}
