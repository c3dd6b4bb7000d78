package picture

import (
	"strings"
	"testing"
)

// The outline is within the frame, and what is wanted and offered is said in words.
func TestReachChart(t *testing.T) {
	svg := string(ReachChart(Range{
		Title:   "What can be made",
		Outline: []Place{{Volume: 10, Strength: 40}, {Volume: 30, Strength: 46}, {Volume: 20, Strength: 60}},
		Wanted:  []Place{{Volume: 300, Strength: 46, Words: "wanted: 300 L"}},
		Offered: []Place{{Volume: 24, Strength: 46, Words: "24 L"}},
	}))
	for _, want := range []string{"What can be made", "wanted: 300 L", "24 L", `class="band"`, `class="wanted"`, "litres at 20 °C"} {
		if !strings.Contains(svg, want) {
			t.Errorf("the chart has no %q", want)
		}
	}
	for _, bad := range []string{"NaN", "Inf", "%!"} {
		if strings.Contains(svg, bad) {
			t.Errorf("the chart has %q", bad)
		}
	}
	if strings.Contains(svg, "style=") {
		t.Error("the chart has a style of its own")
	}
}

// Nothing to draw is an empty frame.
func TestReachChartOfNothing(t *testing.T) {
	if svg := string(ReachChart(Range{Title: "Nothing"})); strings.Contains(svg, "NaN") || !strings.Contains(svg, "</svg>") {
		t.Errorf("the empty chart is %s", svg)
	}
}
