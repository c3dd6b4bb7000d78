package label

import (
	"fmt"
	"io"
	"math"
	"strings"
)

// ZPL writes one label as plain printer text for thermal printers that read
// ZPL II, at the layout's dots per millimetre. The QR code is sent as a graphic
// of whole dots to a module, not left to the printer's own encoder, so that its
// error correction, quiet zone and size are the same on every printer.
func ZPL(w io.Writer, layout Layout, label Label) error {
	dots := layout.Printer.Dots
	if dots == 0 {
		dots = usualDots
	}
	composed, err := compose(layout, label, dots)
	if err != nil {
		return err
	}
	perMM := float64(dots)
	var b strings.Builder
	// ^CI28: text is UTF-8. ^PW and ^LL: width and length. ^LH: no offset.
	fmt.Fprintf(&b, "^XA\n^CI28\n^PW%d\n^LL%d\n^LH0,0\n", int(layout.Label.Width*perMM), int(layout.Label.Height*perMM))
	writeCode(&b, composed, perMM)
	for _, line := range composed.words {
		size := int(line.pt * mmPerPoint * perMM)
		top := int((line.baseline - line.pt*ascent*mmPerPoint) * perMM)
		fmt.Fprintf(&b, "^FO%d,%d^A0N,%d,%d^FH_^FD%s^FS\n", int(math.Ceil(line.left*perMM)), top, size, size, zplText(line.text))
	}
	b.WriteString("^PQ1\n^XZ\n")
	_, err = io.WriteString(w, b.String())
	return err
}

// writeCode sends the code as ^GFA: hexadecimal rows of dots, where a colon
// repeats the row before.
func writeCode(b *strings.Builder, c composition, perMM float64) {
	module := int(c.module*perMM + 1e-9) // whole dots, rounded down; what is over widens the quiet zone
	side := len(c.code) * module
	spare := c.module*perMM*float64(len(c.code)) - float64(side)
	rowBytes := (side + 7) / 8
	fmt.Fprintf(b, "^FO%d,%d^GFA,%d,%d,%d,", int(c.left*perMM+spare/2), int(c.top*perMM+spare/2), rowBytes*side, rowBytes*side, rowBytes)
	for _, row := range c.code {
		b.WriteString(hexRow(row, module, rowBytes))
		b.WriteString(strings.Repeat(":", module-1))
	}
	b.WriteString("^FS\n")
}

func hexRow(row []bool, module, rowBytes int) string {
	bits := make([]byte, rowBytes)
	for x, dark := range row {
		for i := x * module; dark && i < (x+1)*module; i++ {
			bits[i/8] |= 0x80 >> (i % 8)
		}
	}
	return fmt.Sprintf("%X", bits)
}

// zplText writes a text so that no character of it is read as a command: under
// ^FH an underscore and two hexadecimal digits stand for a byte.
func zplText(s string) string {
	var b strings.Builder
	for _, c := range []byte(s) {
		if c >= 0x20 && c < 0x7f && !strings.ContainsRune(`^~_\`, rune(c)) {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "_%02X", c)
		}
	}
	return b.String()
}
