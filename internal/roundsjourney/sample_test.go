package roundsjourney

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"example.org/croze/internal/walk"
)

// The most taps that a sample may take, from the form to the next vessel's.
const (
	mostTapsBare = 12 // strength and temperature
	mostTapsFull = 28 // with weight, what was taken, colour and words
)

// ready is true once the script of the form is at work.
const ready = `document.querySelector("form[data-log]")?.dataset.log === "ready"`

// TestTapsOfASample logs samples as a person does and counts the taps on the
// screen, those on the number pad with them. docs/rounds.md has what it says with -v.
func TestTapsOfASample(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone()
	s.does(map[string]any{"entry": "sample", "vessel": s.vessels[2], "strength_pct": 61.9, "senses": map[string]string{"nose": "pear, wax", "palate": "dry"}, "when": time.Now().AddDate(0, -7, 0).Format(time.RFC3339)})
	p.walks(3)
	p.tap(`a.primary`)
	p.Becomes(`location.pathname === "/v/` + s.vessels[0] + `/log/sample" && document.activeElement.id === "strength" && ` + ready)

	p.taps = 0
	begun := time.Now()
	p.pad("59.2")
	p.next()
	p.pad("12.5")
	p.Becomes(`document.querySelector(".preview").textContent.includes("% vol at 20 °C")`)
	p.key("save")
	p.Becomes(`location.pathname === "/v/` + s.vessels[1] + `/log/sample" && document.activeElement.id === "strength" && ` + ready)
	t.Logf("strength and temperature: %d taps, the script took %.1f s", p.taps, time.Since(begun).Seconds())
	if p.taps > mostTapsBare {
		t.Errorf("%d taps, more than %d", p.taps, mostTapsBare)
	}
	p.Says("main .done", "Saved.")

	p.taps = 0
	begun = time.Now()
	p.pad("58.9")
	p.next()
	p.pad("12.5")
	p.next()
	p.pad("50")
	p.next()
	p.pad("51.4")
	p.tap(`input[value="hay"]`)
	p.tap(`.chips[data-adds="nose"] button`)
	p.tap(`.chips[data-adds="nose"] button:nth-child(2)`)
	p.tap(`.chips[data-adds="palate"] button`)
	p.Becomes(`document.querySelector(".preview").textContent.includes("L at 20 °C")`)
	p.tap(".save .primary")
	p.Becomes(`location.pathname === "/v/` + s.vessels[2] + `/log/sample"`)
	t.Logf("with weight, what was taken, colour and three words: %d taps, the script took %.1f s", p.taps, time.Since(begun).Seconds())
	if p.taps > mostTapsFull {
		t.Errorf("%d taps, more than %d", p.taps, mostTapsFull)
	}
	samples := s.entries("sample")
	last := samples[len(samples)-1].Body
	if len(samples) != 3 || last.Vessel != s.vessels[1] || last.Senses.Colour != "hay" || last.Senses.Nose != "pear, wax" {
		t.Errorf("%d samples; the last is %+v", len(samples), last)
	}
}

// TestUndoAndDoubts takes a sample back with one tap and answers a doubt.
func TestUndoAndDoubts(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone()
	p.walks(3)
	p.tap(`a.primary`)
	p.Becomes(`location.pathname === "/v/` + s.vessels[0] + `/log/sample" && ` + ready)
	p.choose("#scale", "corrected")
	p.write("#strength", "81,4") // the mark of another country's number pad
	p.Becomes(`document.getElementById("strength").value === "81.4" && document.querySelector(".preview.doubtful") !== null`)
	p.tap(".save .primary")
	p.Becomes(`document.querySelector("#doubts .questions") !== null`)
	if got := len(s.entries("sample")); got != 0 {
		t.Fatalf("%d samples were saved in spite of the doubt", got)
	}
	p.tap(`#doubts input[name="sure"]`)
	p.tap(".save .primary")
	p.Becomes(`location.pathname === "/v/` + s.vessels[1] + `/log/sample"`)
	p.tap(".undo button")
	p.Becomes(`location.pathname === "/v/` + s.vessels[0] + `/log/sample" && document.querySelector("main .done").textContent.includes("Undone") && ` + ready)
	if voids := s.entries("void"); len(voids) != 1 {
		t.Errorf("%d entries were taken back", len(voids))
	}
	p.tap(".skip-stop summary")
	p.tap(`.chips[data-adds="reason"] button`)
	p.tap(".skip-stop form button.second")
	p.Becomes(`location.pathname === "/v/` + s.vessels[1] + `/log/sample"`)
	if skips := s.entries("round_skip"); len(skips) != 1 || skips[0].Body.Vessel != s.vessels[0] {
		t.Errorf("skipped are %+v", skips)
	}
}

// TestAPhotoGoesUpWhenThereIsASignal takes a picture without one.
func TestAPhotoGoesUpWhenThereIsASignal(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone()
	round := p.walks(3)
	s.Stop()
	p.open("/v/" + s.vessels[0] + "/log/sample?round=" + round)
	p.Becomes(ready)
	p.Do(chromedp.SetUploadFiles(chromedp.CSS("#photo"), []string{glass(t)}))
	p.Becomes(`document.getElementById("photo-shown").naturalWidth > 0`)
	p.tap(".save .primary")
	p.Becomes(`location.pathname === "/v/` + s.vessels[1] + `/log/sample"`)
	s.Again()
	p.open("/outbox")
	p.Becomes(`document.getElementById("nothing").hidden === false`)
	samples := s.entries("sample")
	if len(samples) != 1 || len(samples[0].Body.Senses.Photo) != 64 {
		t.Fatalf("the book has %+v", samples)
	}
	p.open("/v/" + s.vessels[0])
	if got := walk.Ask[int](p, `fetch(document.querySelector('a[href^="/photo/"]').href).then(r => r.blob()).then(createImageBitmap).then(b => b.width)`); got != 1600 {
		t.Errorf("the photo is %d pixels wide, want it made small to 1600", got)
	}
}

// glass is a picture larger than the store keeps.
func glass(t *testing.T) (path string) {
	t.Helper()
	p := image.NewPaletted(image.Rect(0, 0, 2400, 1800), color.Palette{color.RGBA{232, 211, 138, 255}, color.Black})
	path = filepath.Join(t.TempDir(), "glass.png")
	f, err := os.Create(path)
	walk.Must(t, err)
	walk.Must(t, png.Encode(f, p))
	walk.Must(t, f.Close())
	return path
}
