package journeys

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"io"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"

	"example.org/croze/internal/walk"
)

//go:embed testdata/axe/axe.min.js.gz
var axePacked []byte

//go:embed testdata/axe/README.md
var axeReadme string

// axe is the checker's script.
var axe = sync.OnceValues(func() (string, error) {
	unpacker, err := gzip.NewReader(bytes.NewReader(axePacked))
	if err != nil {
		return "", err
	}
	script, err := io.ReadAll(unpacker)
	return string(script), err
})

func TestTheCheckerIsTheOneWritten(t *testing.T) {
	script, err := axe()
	walk.Must(t, err)
	for what, data := range map[string][]byte{"axe.min.js.gz": axePacked, "axe.min.js": []byte(script)} {
		sum := sha256.Sum256(data)
		if !strings.Contains(axeReadme, hex.EncodeToString(sum[:])) {
			t.Errorf("%s has the SHA-256 %x, which its README does not have", what, sum)
		}
	}
}

// violation is a rule of the checker that a page breaks.
type violation struct {
	ID    string   `json:"id"`
	Help  string   `json:"help"`
	Nodes []string `json:"nodes"`
}

// theRun checks the page. Colours are checked alone where the rest has been.
const theRun = `axe.run(document, OPTIONS).then(r => r.violations.map(v => ({id: v.id, help: v.help,
	nodes: v.nodes.slice(0, 4).map(n => n.target.join(" ") + " " + n.html.slice(0, 140) + " " + n.any.map(a => a.message).join("; "))})))`

const (
	allRules    = `{runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}`
	colourRules = `{runOnly: {type: "rule", values: ["color-contrast", "link-in-text-block"]}}`
)

// unpinned lays the bars that are pinned to the foot of a telephone's screen
// where they stand in the page, or pins them again: they lie over whatever is
// under them just then, which a person scrolls clear and the checker does not.
const unpinned = `document.querySelectorAll(".entry .save, .rooms").forEach(bar => bar.style.position = `

// axe reports what the checker finds on the page.
func (b *tab) axe(options string) {
	b.T.Helper()
	script, err := axe()
	walk.Must(b.T, err)
	if !walk.Ask[bool](b, `"axe" in window`) {
		walk.Ask[bool](b, script+`; "axe" in window`)
	}
	walk.Ask[bool](b, unpinned+`"static"), true`)
	defer walk.Ask[bool](b, unpinned+`""), true`)
	check := strings.Replace(theRun, "OPTIONS", options, 1)
	for _, v := range walk.Perform(b, chromedp.Evaluate[[]violation](check, chromedp.EvalAwaitPromise)) {
		b.T.Errorf("%s on a %s: %s: %s:\n  %s", b.Address(), b.screen.Name, v.ID, v.Help, strings.Join(v.Nodes, "\n  "))
	}
}
