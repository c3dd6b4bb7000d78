package label

import (
	"encoding/xml"
	"fmt"
	"io"
	"strings"
)

// SVG writes one label as a picture measured in millimetres. Text keeps its
// measured width in whichever font the viewer has.
func SVG(w io.Writer, layout Layout, label Label) error {
	composed, err := compose(layout, label, 0)
	if err != nil {
		return err
	}
	var b strings.Builder
	width, height := layout.Label.Width, layout.Label.Height
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %g %g" role="img">`+"\n", width, height, width, height)
	fmt.Fprintf(&b, "<title>%s</title>\n", escaped("Label "+printable(label.Code)))
	fmt.Fprintf(&b, `<rect width="%g" height="%g" fill="#fff"/>`+"\n", width, height)
	fmt.Fprintf(&b, `<path fill="#000" shape-rendering="crispEdges" transform="translate(%.4f %.4f) scale(%.6f)" d="`, composed.left, composed.top, composed.module)
	for _, r := range composed.code.runs() {
		fmt.Fprintf(&b, "M%d %dh%dv1h-%dz", r.x, r.y, r.length, r.length)
	}
	b.WriteString("\"/>\n<g fill=\"#000\" font-family=\"'" + fontFamily + "', sans-serif\">\n")
	for _, line := range composed.words {
		if line.text == "" {
			continue
		}
		fmt.Fprintf(&b, `<text x="%.3f" y="%.3f" font-size="%.4f" textLength="%.3f" lengthAdjust="spacingAndGlyphs">%s</text>`+"\n",
			line.left, line.baseline, line.pt*mmPerPoint, line.width, escaped(line.text))
	}
	b.WriteString("</g>\n</svg>\n")
	_, err = io.WriteString(w, b.String())
	return err
}

func escaped(s string) string {
	var b strings.Builder
	// EscapeText fails only when its writer does, and a Builder does not.
	_ = xml.EscapeText(&b, []byte(s))
	return b.String()
}
