package label

import (
	"bytes"
	"encoding/xml"
	"math"
	"strings"
	"testing"
)

func TestSVGIsWellFormedAndSaysItsSize(t *testing.T) {
	for _, layout := range builtIn(t) {
		label := caskLabel(t, shortAddress, 2)
		label.Lines = append(label.Lines, `<b> & "quoted"`)
		var out, again bytes.Buffer
		if err := SVG(&out, layout, label); err != nil {
			t.Fatal(err)
		}
		if err := SVG(&again, layout, label); err != nil || again.String() != out.String() {
			t.Errorf("%s: the same label gave two different pictures (%v)", layout.Name, err)
		}
		var picture struct {
			Width string `xml:"width,attr"`
			Texts []struct {
				X      float64 `xml:"x,attr"`
				Length float64 `xml:"textLength,attr"`
				Text   string  `xml:",chardata"`
			} `xml:"g>text"`
		}
		if err := xml.Unmarshal(out.Bytes(), &picture); err != nil {
			t.Fatalf("%s: %v", layout.Name, err)
		}
		if !strings.HasSuffix(picture.Width, "mm") || len(picture.Texts) == 0 || picture.Texts[0].Text != label.Code {
			t.Errorf("%s: width %q, texts %+v", layout.Name, picture.Width, picture.Texts)
		}
		for _, text := range picture.Texts {
			if end := text.X + text.Length; math.IsNaN(end) || end > layout.Label.Width-layout.Label.Padding+hair {
				t.Errorf("%s: %q ends at %.2f mm", layout.Name, text.Text, end)
			}
		}
	}
}
