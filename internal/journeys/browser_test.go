package journeys

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// theBrowser is the context that tabs are opened in.
var theBrowser context.Context

// startBrowser prepares one browser for all tests; it runs from the first tab on.
func startBrowser(profile string) (stop func()) {
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath("chromium"), chromedp.UserDataDir(profile), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
	)
	allocator, stopAllocator := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(allocator)
	theBrowser = ctx
	return func() {
		cancel()
		stopAllocator()
	}
}

// begun starts the browser itself, once, and not for the first test alone.
var begun = sync.OnceValue(func() error { return chromedp.Do(theBrowser) })

// screen is what a page is seen on.
type screen struct {
	name          string
	width, height int64
	scale         float64
	touch         bool
}

var (
	phone = screen{"phone", 390, 844, 3, true}
	desk  = screen{"desk", 1280, 900, 1, false}
)

// tab is a page of the browser, on a screen.
type tab struct {
	t      *testing.T
	ctx    context.Context
	base   string
	screen screen
	opened string // the page last asked for
}

// longest is how long a step may take on a busy machine.
const longest = 20 * time.Second

func (p program) tab(t *testing.T, s screen) *tab {
	t.Helper()
	must(t, begun())
	ctx, cancel := chromedp.NewContext(theBrowser)
	t.Cleanup(cancel)
	must(t, chromedp.Do(ctx)) // opens it, for as long as the test runs
	b := &tab{t: t, ctx: ctx, base: p.base, screen: s}
	options := []chromedp.EmulateViewportOption{chromedp.EmulateScale(s.scale)}
	if s.touch {
		options = append(options, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	b.do(chromedp.EmulateViewport(s.width, s.height, options...))
	return b
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	for _, step := range steps {
		perform(b, step)
	}
}

// perform does one thing in the page, in good time.
func perform[T any](b *tab, step chromedp.Action[T]) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, longest)
	defer cancel()
	value, err := chromedp.Run(ctx, step)
	if err != nil {
		b.t.Fatalf("on the way from %s on a %s: %v", b.opened, b.screen.name, err)
	}
	return value
}

// ask evaluates an expression in the page.
func ask[T any](b *tab, expression string) T {
	b.t.Helper()
	return perform(b, chromedp.Evaluate[T](expression))
}

func (b *tab) address() string {
	ctx, cancel := context.WithTimeout(b.ctx, longest)
	defer cancel()
	address, err := chromedp.Run(ctx, chromedp.Location())
	if err != nil {
		return "an unknown page"
	}
	return strings.TrimPrefix(address, b.base)
}

// open goes to a page of the program.
func (b *tab) open(path string) {
	b.t.Helper()
	b.opened = path
	b.arrives(chromedp.Navigate(b.base + path))
}

// follow presses a link or a button and waits for the page that it leads to.
func (b *tab) follow(selector string) {
	b.t.Helper()
	b.arrives(press(selector))
}

// press scrolls something to the middle of the screen, clear of the bars at its
// edges, and presses it.
func press(selector string) chromedp.Action[chromedp.Void] {
	at := chromedp.CSS(selector)
	return chromedp.Steps(chromedp.WaitVisible(at), chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := chromedp.EvaluateAsDevTools[any](`document.querySelector(`+strconv.Quote(selector)+`).scrollIntoView({block: "center", behavior: "instant"})`)(ctx, t)
		return err
	}), chromedp.Click(at))
}

// arrives waits for the page that steps lead to, which must be a good one.
func (b *tab) arrives(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if status := b.lands(steps...); status != 200 {
		b.t.Fatalf("%s: status %d: %s", b.address(), status, b.text("main"))
	}
}

// lands waits for the page that steps lead to and returns its status.
func (b *tab) lands(steps ...chromedp.Action[chromedp.Void]) int64 {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, longest)
	defer cancel()
	response, err := chromedp.RunResponse(ctx, steps...)
	if err != nil {
		b.t.Fatalf("on the way from %s on a %s: %v", b.opened, b.screen.name, err)
	}
	return response.Status
}

// write types into a field as a person does, over what is there.
func (b *tab) write(field, text string) {
	b.t.Helper()
	at := chromedp.CSS(`[name="` + field + `"]`)
	b.do(chromedp.Clear(at), chromedp.SendKeys(at, text))
}

// choose takes an option of a list.
func (b *tab) choose(field, value string) {
	b.t.Helper()
	b.do(chromedp.SetValue(chromedp.CSS(`select[name="`+field+`"]`), value))
}

func (b *tab) text(selector string) string {
	b.t.Helper()
	return strings.TrimSpace(perform(b, chromedp.Text(chromedp.CSS(selector))))
}

// says expects a text within an element.
func (b *tab) says(selector, text string) {
	b.t.Helper()
	if got := b.text(selector); !strings.Contains(got, text) {
		b.t.Errorf("on %s, %s says %q and not %q", b.address(), selector, got, text)
	}
}

// becomes waits until a script's expression is true.
func (b *tab) becomes(expression string) {
	b.t.Helper()
	perform(b, chromedp.Poll[bool](expression, chromedp.WithPollingTimeout(longest)))
}

// dress sets the colours that the person's device asks for.
func (b *tab) dress(scheme string) {
	b.t.Helper()
	b.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		features := []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
		return err
	}))
}

// picture leaves a picture of the page, if pictures are wanted.
func (b *tab) picture(name string) {
	b.t.Helper()
	if *shots == "" {
		return
	}
	image := perform(b, chromedp.FullScreenshot(100))
	must(b.t, os.MkdirAll(*shots, 0o755))
	must(b.t, os.WriteFile(filepath.Join(*shots, b.screen.name+"-"+name+".png"), image, 0o644))
}
