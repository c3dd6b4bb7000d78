package roundsjourney

import (
	"compress/gzip"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// axe has the checker look at what the scripts have made of a page.
func (p *phone) axe(what string) {
	p.t.Helper()
	packed, err := os.Open("../journeys/testdata/axe/axe.min.js.gz")
	must(p.t, err)
	defer packed.Close()
	unpacker, err := gzip.NewReader(packed)
	must(p.t, err)
	script, err := io.ReadAll(unpacker)
	must(p.t, err)
	ask[bool](p, string(script)+`; "axe" in window`)
	const rules = `{runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}`
	found := perform(p, chromedp.Evaluate[[]string](`axe.run(document, `+rules+`).then(r => r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes.map(n => n.html.slice(0, 150)).join(" | ")))`, chromedp.EvalAwaitPromise))
	for _, violation := range found {
		p.t.Errorf("%s: %s", what, violation)
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
	p.becomes(`document.querySelectorAll("#found a").length > 0`)
	p.axe("codes that are offered")
	s.stop()
	p.open("/v/" + s.vessels[0] + "/log/sample?round=" + round)
	p.becomes(ready)
	p.choose("#scale", "corrected")
	p.write("#strength", "80")
	p.becomes(`document.querySelector(".pad").checkVisibility() && document.querySelector(".preview").textContent.includes("is it right?")`)
	p.axe("the number pad")
	p.key("save")
	p.becomes(`location.pathname === "/v/` + s.vessels[1] + `/log/sample" && document.querySelector("main .done") !== null`)
	p.axe("an entry that was kept")
	p.open("/nowhere")
	p.becomes(`document.querySelectorAll("#carried li").length === 1`)
	p.axe("no signal")
	s.start()
	p.open("/outbox")
	p.becomes(`document.querySelectorAll("#entries .problem").length === 1`)
	p.tap("#entries details summary")
	p.tap("#entries .quiet")
	p.axe("an entry that was not taken")
	if got := p.text("#entries .problem"); !strings.Contains(got, "stronger than what went in") {
		t.Errorf("the reason is %q", got)
	}
}
