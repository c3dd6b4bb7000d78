package roundsjourney

import (
	"compress/gzip"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"example.org/croze/internal/walk"
)

// axe has the checker look at what the scripts have made of a page.
func (p *phone) axe(what string) {
	p.T.Helper()
	packed, err := os.Open("../journeys/testdata/axe/axe.min.js.gz")
	walk.Must(p.T, err)
	defer packed.Close()
	unpacker, err := gzip.NewReader(packed)
	walk.Must(p.T, err)
	script, err := io.ReadAll(unpacker)
	walk.Must(p.T, err)
	walk.Ask[bool](p, string(script)+`; "axe" in window`)
	const rules = `{runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}`
	found := walk.Perform(p, chromedp.Evaluate[[]string](`axe.run(document, `+rules+`).then(r => r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes.map(n => n.html.slice(0, 150)).join(" | ")))`, chromedp.EvalAwaitPromise))
	for _, violation := range found {
		p.T.Errorf("%s: %s", what, violation)
	}
}

// TestWhatScriptsShowIsForEveryone looks at pages as the scripts leave them:
// the pages as they are sent are looked at with all the others.
func TestWhatScriptsShowIsForEveryone(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone()
	round := p.walks(3)
	p.axe("a round that is carried")
	p.open("/scan")
	p.write("#code", s.vessels[0][:3])
	p.Becomes(`document.querySelectorAll("#found a").length > 0`)
	p.axe("codes that are offered")
	s.Stop()
	p.open("/v/" + s.vessels[0] + "/log/sample?round=" + round)
	p.Becomes(ready)
	p.choose("#scale", "corrected")
	p.write("#strength", "80")
	p.Becomes(`document.querySelector(".pad").checkVisibility() && document.querySelector(".preview").textContent.includes("is it right?")`)
	p.axe("the number pad")
	p.key("save")
	p.Becomes(`location.pathname === "/v/` + s.vessels[1] + `/log/sample" && document.querySelector("main .done") !== null`)
	p.axe("an entry that was kept")
	p.open("/nowhere")
	p.Becomes(`document.querySelectorAll("#carried li").length === 1`)
	p.axe("no signal")
	s.Again()
	p.open("/outbox")
	p.Becomes(`document.querySelectorAll("#entries .problem").length === 1`)
	p.tap("#entries details summary")
	p.tap("#entries .quiet")
	p.axe("an entry that was not taken")
	if got := p.Text("#entries .problem"); !strings.Contains(got, "stronger than what went in") {
		t.Errorf("the reason is %q", got)
	}
}
