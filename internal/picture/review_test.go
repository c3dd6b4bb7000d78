package picture

import (
	"encoding/xml"
	"html/template"
	"io"
	"math"
	"strings"
	"testing"
)

// sound says whether a drawing is well-formed, has a title for those who cannot
// see it, and no figure that is none.
func sound(t *testing.T, name string, drawn template.HTML, says ...string) {
	t.Helper()
	reader := xml.NewDecoder(strings.NewReader(string(drawn)))
	for {
		_, err := reader.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("%s: %v in %s", name, err, drawn)
		}
	}
	for _, bad := range []string{"NaN", "Inf", "style="} {
		if strings.Contains(string(drawn), bad) {
			t.Errorf("%s has %s", name, bad)
		}
	}
	for _, word := range append(says, "<title>", "<desc>") {
		if !strings.Contains(string(drawn), word) {
			t.Errorf("%s does not say %s", name, word)
		}
	}
}

func TestBars(t *testing.T) {
	b := Bars{Title: "T", Words: "w", Bands: []string{"0", "1+"}, Strips: []Strip{{Words: "Now", Values: []float64{12.4, 0}}, {Words: "Later <b>", Values: []float64{0, 3.25}, Beside: []float64{1, 4}}}}
	sound(t, "bars", BarsChart(b), ">12<", ">3.2<", "Later &lt;b&gt;", `class="beside"`)
	// The second strip stands on 212, and an outline of 4 is 62 × 4/12.4 = 20 high: the number is above that.
	sound(t, "a number above an outline", BarsChart(b), `class="number" x="535.0" y="188.0"`)
	sound(t, "no bars", BarsChart(Bars{Bands: []string{"0"}, Strips: []Strip{{Values: []float64{0}}}}))
}

func TestLeague(t *testing.T) {
	l := League{Title: "T", Words: "w", Unit: "times", Usual: 1, Rows: []Whisker{{Name: "A", Mean: 12, Low: 8, High: 20, Words: "12 ×"}, {Name: "B", Mean: 0, Low: 0, High: 2}}}
	sound(t, "league", LeagueChart(l), ">A<", "12 ×", ">16<")
	x := l.axis()
	if x.at(2)-x.at(1) <= 0 || math.Abs(x.at(2)-x.at(1)-(x.at(8)-x.at(4))) > 1e-9 {
		t.Errorf("twice as much is %.1f away at 1 and %.1f at 4", x.at(2)-x.at(1), x.at(8)-x.at(4))
	}
}

// A ring of transfers must come to an end, and a long name stay in the picture.
func TestFlowPictures(t *testing.T) {
	long := strings.Repeat("long name ", 9)
	f := FlowPicture{Title: "T", Words: "w", Labels: map[string]string{"b": "Rye 1"}, Streams: []Stream{
		{"b", "A", 10, "b to A"}, {"A", "B", 6, "A to B"}, {"B", "A", 1, "B to A"}, {"B", long, 5, "to the lot"},
	}}
	sound(t, "flow", FlowChart(f), "Rye 1", "…", ">10 L<")
	sound(t, "no flow", FlowChart(FlowPicture{Title: "T"}))
}
