package roundsjourney

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/label"
	"example.org/croze/internal/walk"
)

// heldBefore makes a film of a printed label, as a camera sees it. The label
// names another address than that of the store: the server has moved since.
func (s *store) heldBefore(code string) (film string) {
	s.t.Helper()
	dir := s.t.TempDir()
	pdf, film := filepath.Join(dir, "label.pdf"), filepath.Join(dir, "label.y4m")
	s.Stop()
	s.croze("labels", "--data", s.dir, "--public-url", "https://before.example/old", "--sheet", "roll-62", "--out", pdf, code)
	s.Again()
	for _, step := range [][]string{
		{"pdftoppm", "-r", "200", "-png", "-singlefile", pdf, filepath.Join(dir, "label")},
		{"ffmpeg", "-y", "-loglevel", "error", "-loop", "1", "-i", filepath.Join(dir, "label.png"), "-t", "2", "-r", "10",
			"-vf", "scale=520:420:force_original_aspect_ratio=decrease,pad=640:480:(ow-iw)/2:(oh-ih)/2:color=gray", "-pix_fmt", "yuv420p", film},
	} {
		if out, err := exec.Command(step[0], step[1:]...).CombinedOutput(); err != nil {
			s.t.Fatalf("%s: %v\n%s", step[0], err, out)
		}
	}
	return film
}

func withFilm(film string) []chromedp.ExecAllocatorOption {
	return []chromedp.ExecAllocatorOption{
		chromedp.Flag("use-fake-ui-for-media-stream", true), chromedp.Flag("use-fake-device-for-media-stream", true),
		chromedp.Flag("use-file-for-fake-video-capture", film),
	}
}

// TestALabelIsReadByThePage holds a label before the camera of a phone.
func TestALabelIsReadByThePage(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone(withFilm(s.heldBefore(s.vessels[1]))...)
	p.open("/scan")
	p.Becomes(`location.pathname === "/v/` + s.vessels[1] + `"`)
	p.Says("h1", s.vessels[1])

	// On a round it leads to the form at once.
	round := p.walks(3)
	p.tap(`a[href="/scan?round=` + round + `"]`)
	p.Becomes(`location.pathname === "/v/` + s.vessels[1] + `/log/sample" && location.search === "?round=` + round + `"`)
}

// TestTypedCodes types codes and parts of them.
func TestTypedCodes(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone()
	p.open("/scan")
	p.Becomes(`document.getElementById("camera-says").textContent.includes("type the code")`)
	code := s.vessels[2]
	p.write("#code", strings.ToLower(strings.ReplaceAll(code, "-", "")))
	p.Becomes(`document.getElementById("check").textContent === "It fits: ` + code + `"`)
	slip := []byte(code)
	slip[4] = "ACFHJ"[(strings.IndexByte("ACFHJ", slip[4])+1)%5]
	p.write("#code", string(slip))
	p.Becomes(`document.getElementById("check").textContent.startsWith("It does not fit")`)
	p.write("#code", code[1:5])
	p.Becomes(`document.querySelectorAll("#found a").length >= 1`)
	p.tap(`#found a[href="/v/` + code + `"]`)
	p.Becomes(`location.pathname === "/v/` + code + `"`)
}

// TestThePageReadsCodesAsTheProgramDoes gives the page's script what the
// program's own reader is given.
func TestThePageReadsCodesAsTheProgramDoes(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone()
	p.open("/scan")
	texts := []string{
		"", " ", "cask 12", "Fût 3", "a\tb", "--", "x/y", "wrong<b>", strings.Repeat("a", 40), strings.Repeat("a", 41),
		"ftp://host.example/V/A", "https://host.example", "https://host.example/V/", "https://host.example/X/A", "https://host.example/a/b/v/cask%2012",
		"HTTPS://HOST.EXAMPLE/B/R%2F1", "http://192.0.2.7:8080/L/SPRING-1", "https://host.example/S/01KAYQ5W0000000000000000AB?x=1#y", "not a url://",
	}
	for n := range 40 {
		code := cellar.IssueCode(uint64(n * 1371))
		texts = append(texts, code, strings.ToLower(code), strings.ReplaceAll(code, "-", ""), " "+code+" ", "HTTPS://HOST.EXAMPLE/V/"+code)
		for _, c := range "2A9W" { // slips of the check character and of another
			texts = append(texts, code[:len(code)-1]+string(c), code[:1]+string(c)+code[2:])
		}
	}
	type found struct{ Thing, Code string }
	read := walk.Ask[[]*found](p, jsonOf(t, texts)+`.map(text => codes.scan(text))`)
	for i, text := range texts {
		thing, code, ok := label.Scan(text)
		want := fmt.Sprint(string(thing), " ", code)
		if !ok {
			want = "nothing"
		}
		got := "nothing"
		if read[i] != nil {
			got = fmt.Sprint(read[i].Thing, " ", read[i].Code)
		}
		if got != want {
			t.Errorf("%q: the page reads %q, the program %q", text, got, want)
		}
	}
}
