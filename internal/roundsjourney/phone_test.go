package roundsjourney

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// longest is how long a step may take on a busy machine.
const longest = 45 * time.Second

// phone is a browser of its own on a small screen that is touched.
type phone struct {
	t    *testing.T
	ctx  context.Context
	base string
	taps int // on the screen and on its number pad
}

// newPhone takes a phone in hand; flags are those of the browser.
func (s *store) newPhone(flags ...chromedp.ExecAllocatorOption) *phone {
	s.t.Helper()
	profile, err := os.MkdirTemp(filepath.Dir(binary), "profile-") // goes when all tests are done and no browser writes to it
	must(s.t, err)
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath("chromium"), chromedp.UserDataDir(profile), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
	)
	allocator, stop := chromedp.NewExecAllocator(context.Background(), append(options, flags...)...)
	ctx, cancel := chromedp.NewContext(allocator)
	s.t.Cleanup(func() {
		cancel()
		stop()
	})
	must(s.t, chromedp.Do(ctx)) // starts the browser, for as long as the test runs
	return (&phone{t: s.t, ctx: ctx, base: s.base}).held()
}

// held makes the window that of a telephone.
func (p *phone) held() *phone {
	p.t.Helper()
	p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateScale(3), chromedp.EmulateMobile, chromedp.EmulateTouch))
	return p
}

// another closes the page and opens an empty one.
func (p *phone) another() *phone {
	p.t.Helper()
	ctx, cancel := chromedp.NewContext(p.ctx)
	p.t.Cleanup(cancel)
	must(p.t, chromedp.Do(ctx))
	p.do(chromedp.Navigate("about:blank"))
	return (&phone{t: p.t, ctx: ctx, base: p.base}).held()
}

func (p *phone) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	for _, step := range steps {
		perform(p, step)
	}
}

// perform does one thing in the page, in good time.
func perform[T any](p *phone, step chromedp.Action[T]) T {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, longest)
	defer cancel()
	value, err := chromedp.Run(ctx, step)
	if err != nil {
		p.t.Fatalf("%v\non %s", err, p.seen())
	}
	return value
}

// seen says where the page is and what it shows, for a failure.
func (p *phone) seen() string {
	ctx, cancel := context.WithTimeout(p.ctx, 5*time.Second)
	defer cancel()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.pathname + location.search + ": " + document.body.innerText.slice(0, 600)`))
	if err != nil {
		return "an unknown page"
	}
	return text
}

// ask evaluates an expression in the page; a promise is waited for.
func ask[T any](p *phone, expression string) T {
	p.t.Helper()
	return perform(p, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// becomes waits until an expression is true, over pages that follow one another.
func (p *phone) becomes(expression string) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, longest)
	defer cancel()
	for {
		yes, err := chromedp.Run(ctx, chromedp.Poll[bool](expression, chromedp.WithPollingTimeout(longest)))
		if yes && err == nil {
			return
		}
		if ctx.Err() != nil {
			p.t.Fatalf("it never came true: %s\non %s (%v)", expression, p.seen(), err)
		}
	}
}

func (p *phone) open(path string) {
	p.t.Helper()
	p.do(chromedp.Navigate(p.base + path))
}

// tap touches something in the middle of the screen, clear of the bars at its edges.
func (p *phone) tap(selector string) {
	p.t.Helper()
	at := chromedp.CSS(selector)
	ask[bool](p, `document.activeElement.blur(), true`) // a touch elsewhere puts the number pad away
	p.do(chromedp.WaitVisible(at))
	ask[bool](p, `document.querySelector(`+strconv.Quote(selector)+`).scrollIntoView({block: "center", behavior: "instant"}), true`)
	p.do(chromedp.Click(at))
	p.taps++
}

// pad types on the page's number pad: one tap for each key.
func (p *phone) pad(keys string) {
	p.t.Helper()
	for _, key := range keys {
		p.key(string(key))
	}
}

// next touches the key that goes on to the next field.
func (p *phone) next() {
	p.t.Helper()
	p.key("next")
}

func (p *phone) key(name string) {
	p.t.Helper()
	p.do(chromedp.Click(chromedp.CSS(`.pad button[data-key="` + name + `"]`)))
	p.taps++
}

// write fills a field in one go, where taps do not matter.
func (p *phone) write(selector, text string) {
	p.t.Helper()
	at := chromedp.CSS(selector)
	p.do(chromedp.WaitVisible(at))
	ask[bool](p, `document.querySelector(`+strconv.Quote(selector)+`).select(), true`) // what is typed goes over what is there
	p.do(chromedp.SendKeys(at, text))
}

func (p *phone) text(selector string) string {
	p.t.Helper()
	return strings.TrimSpace(perform(p, chromedp.Text(chromedp.CSS(selector))))
}

// says expects a text within an element.
func (p *phone) says(selector, text string) {
	p.t.Helper()
	if got := p.text(selector); !strings.Contains(got, text) {
		p.t.Errorf("%s says %q and not %q", selector, got, text)
	}
}

// walks begins a round through everything that is due and waits until the
// phone carries it. It returns the round's ID.
func (p *phone) walks(vessels int) string {
	p.t.Helper()
	p.open("/rounds")
	p.becomes(`navigator.serviceWorker.controller !== null`)
	p.tap(`section[aria-labelledby="begin"] .primary`)
	p.becomes(`location.pathname.startsWith("/rounds/") && document.getElementById("kept").dataset.carried === "` + strconv.Itoa(vessels) + `"`)
	return strings.TrimPrefix(ask[string](p, `location.pathname`), "/rounds/")
}
