package walk

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"
)

// Screen is what a page is seen on.
type Screen struct {
	Name          string
	Width, Height int64
	Scale         float64
	Touch         bool
}

// The screens that the tests use.
var (
	Phone = Screen{"phone", 390, 844, 3, true}
	Desk  = Screen{"desk", 1280, 900, 1, false}
)

// browser starts a browser of its own; flags are those of the browser.
func browser(flags ...chromedp.ExecAllocatorOption) (ctx context.Context, stop func(), err error) {
	profile, err := os.MkdirTemp(folder, "profile-") // goes when all tests are done and no browser writes to it
	if err != nil {
		return nil, nil, err
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath("chromium"), chromedp.UserDataDir(filepath.Clean(profile)), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
	)
	allocator, stopAllocator := chromedp.NewExecAllocator(context.Background(), append(options, flags...)...)
	ctx, cancel := chromedp.NewContext(allocator)
	stop = func() {
		cancel()
		stopAllocator()
	}
	if err := chromedp.Do(ctx); err != nil { // it runs from now on
		stop()
		return nil, nil, err
	}
	return ctx, stop, nil
}

// shared is one browser for all tests that need none of their own.
var (
	shared     = sync.OnceValues(func() (context.Context, error) { ctx, stop, err := browser(); stopShared = stop; return ctx, err })
	stopShared func()
)

func closeBrowser() {
	if stopShared != nil {
		stopShared()
	}
}

// Tab opens a page in the browser that all tests share.
func (p *Program) Tab(t *testing.T, s Screen) *Page {
	t.Helper()
	all, err := shared()
	Must(t, err)
	return (&Page{T: t, Ctx: all, Base: p.Base}).another(s)
}

// Browser opens a page in a browser of the test's own.
func (p *Program) Browser(t *testing.T, s Screen, flags ...chromedp.ExecAllocatorOption) *Page {
	t.Helper()
	ctx, stop, err := browser(flags...)
	Must(t, err)
	t.Cleanup(stop)
	page := &Page{T: t, Ctx: ctx, Base: p.Base}
	page.Hold(s)
	return page
}

// Another opens an empty page beside this one, in the same browser.
func (p *Page) Another(s Screen) *Page {
	p.T.Helper()
	page := p.another(s)
	page.Do(chromedp.Navigate("about:blank"))
	return page
}

func (p *Page) another(s Screen) *Page {
	p.T.Helper()
	ctx, cancel := chromedp.NewContext(p.Ctx)
	p.T.Cleanup(cancel)
	Must(p.T, chromedp.Do(ctx)) // opens it, for as long as the test runs
	page := &Page{T: p.T, Ctx: ctx, Base: p.Base}
	page.Hold(s)
	return page
}

// Hold makes the window that of a screen.
func (p *Page) Hold(s Screen) {
	p.T.Helper()
	options := []chromedp.EmulateViewportOption{chromedp.EmulateScale(s.Scale)}
	if s.Touch {
		options = append(options, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	p.Do(chromedp.EmulateViewport(s.Width, s.Height, options...))
}

// ToTheMiddle scrolls something to the middle of the screen, clear of the bars
// at its edges.
func (p *Page) ToTheMiddle(selector string) {
	p.T.Helper()
	p.Do(chromedp.WaitVisible(chromedp.CSS(selector)))
	Ask[bool](p, `document.querySelector(`+strconv.Quote(selector)+`).scrollIntoView({block: "center", behavior: "instant"}), true`)
}
