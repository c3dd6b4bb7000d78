package label

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Whatever is written on a label, every word of it stays inside the padding
// and clear of the QR code.
func TestNothingLeavesTheLabel(t *testing.T) {
	layouts := builtIn(t)
	rapid.Check(t, func(t *rapid.T) {
		layout := rapid.SampledFrom(layouts).Draw(t, "layout")
		label := Label{
			Address: "HTTPS://CELLAR.EXAMPLE/V/A",
			Code:    rapid.StringN(1, 60, -1).Filter(func(s string) bool { return strings.TrimSpace(s) != "" }).Draw(t, "code"),
			Kind:    rapid.String().Draw(t, "kind"),
			Lines:   rapid.SliceOfN(rapid.StringN(0, 300, -1), 0, mostLines).Draw(t, "lines"),
		}
		composed, err := compose(layout, label, 0)
		if err != nil {
			t.Fatal(err)
		}
		room := layout.textArea()
		below := room.top
		for _, line := range composed.words {
			top, bottom := line.baseline-line.pt*ascent*mmPerPoint, line.baseline+line.pt*(leading-ascent)*mmPerPoint
			switch {
			case line.left < room.left-hair, line.left+font().width(line.text, line.pt) > room.left+room.width+hair:
				t.Fatalf("%q reaches from %.2f over %.2f mm, the room is %+v", line.text, line.left, line.width, room)
			case top < below-hair:
				t.Fatalf("%q at %.2f mm lies over the line before it, which ends at %.2f", line.text, top, below)
			case bottom > room.top+room.height+hair:
				t.Fatalf("%q ends at %.2f mm, the room is %+v", line.text, bottom, room)
			case line.pt < layout.Text.Least-1e-9:
				t.Fatalf("%q is of %.2f pt, smaller than the least of %v", line.text, line.pt, layout.Text.Least)
			}
			below = bottom
		}
	})
}

func TestLongTextShrinksThenIsCut(t *testing.T) {
	const width = 40.0
	short := fitLine("50 L", 10, 5, width)
	if short.pt != 10 || short.text != "50 L" {
		t.Errorf("a short line became %+v", short)
	}
	longer := fitLine("Filled 14 March 2021, oak, used", 10, 5, width)
	if longer.pt >= 10 || longer.pt <= 5 || strings.HasSuffix(longer.text, ellipsis) {
		t.Errorf("a longer line should shrink and stay whole, became %+v", longer)
	}
	longest := fitLine(strings.Repeat("apple and rye ", 20), 10, 5, width)
	if longest.pt != 5 || !strings.HasSuffix(longest.text, ellipsis) || longest.width > width {
		t.Errorf("a far too long line should be cut at the least size, became %+v", longest)
	}
	if longest.width < width*0.9 {
		t.Errorf("cut to %.1f mm of %v: too much is lost", longest.width, width)
	}
}

func TestTooManyLinesEndInAnEllipsis(t *testing.T) {
	lines := strings.Split(strings.Repeat("line ", 12), " ")[:12]
	kept, pt := fitLines(lines, Type{Line: 9, Least: 6}, 5*lineHeight(6)+0.1)
	if len(kept) != 5 || pt != 6 || kept[4] != "line "+ellipsis {
		t.Errorf("kept %q at %v pt", kept, pt)
	}
	if lines[4] != "line" {
		t.Error("the caller's lines were changed")
	}
}

func TestPrintableTakesOutWhatCannotBeDrawn(t *testing.T) {
	cases := map[string]string{
		"  Rye\n12\t":            "Rye 12",
		"\x00":                   "",
		"stout \U0001f37a":       "stout \ufffd",
		"Fût — Żółć ½":           "Fût — Żółć ½",
		strings.Repeat("a", 999): strings.Repeat("a", longestLine),
		"a\u2028b":               "a b",
		"\xff":                   "\ufffd",
	}
	for text, want := range cases {
		if got := printable(text); got != want {
			t.Errorf("printable(%q) = %q, want %q", text, got, want)
		}
	}
}
