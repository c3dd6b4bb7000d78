package journeys

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"example.org/croze/internal/walk"
)

// tab is a page of the browser that all tests share, on a screen.
type tab struct {
	*walk.Page
	screen walk.Screen
	opened string // the page last asked for
}

func (p program) tab(t *testing.T, s walk.Screen) *tab {
	t.Helper()
	return &tab{Page: p.Tab(t, s), screen: s}
}

// open goes to a page of the program.
func (b *tab) open(path string) {
	b.T.Helper()
	b.opened = path
	b.arrives(chromedp.Navigate(b.Base + path))
}

// follow presses a link or a button and waits for the page that it leads to.
func (b *tab) follow(selector string) {
	b.T.Helper()
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
	b.T.Helper()
	if status := b.lands(steps...); status != 200 {
		b.T.Fatalf("%s: status %d: %s", b.Address(), status, b.Text("main"))
	}
}

// lands waits for the page that steps lead to and returns its status.
func (b *tab) lands(steps ...chromedp.Action[chromedp.Void]) int64 {
	b.T.Helper()
	ctx, cancel := context.WithTimeout(b.Ctx, walk.Longest)
	defer cancel()
	response, err := chromedp.RunResponse(ctx, steps...)
	if err != nil {
		b.T.Fatalf("on the way from %s on a %s: %v", b.opened, b.screen.Name, err)
	}
	return response.Status
}

// write types into a field as a person does, over what is there.
func (b *tab) write(field, text string) {
	b.T.Helper()
	at := chromedp.CSS(`[name="` + field + `"]`)
	b.Do(chromedp.Clear(at), chromedp.SendKeys(at, text))
}

// choose takes an option of a list.
func (b *tab) choose(field, value string) {
	b.T.Helper()
	b.Do(chromedp.SetValue(chromedp.CSS(`select[name="`+field+`"]`), value))
}

// dress sets the colours that the person's device asks for.
func (b *tab) dress(scheme string) {
	b.T.Helper()
	b.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		features := []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
		return err
	}))
}

// picture leaves a picture of the page, if pictures are wanted.
func (b *tab) picture(name string) {
	b.T.Helper()
	if *shots == "" {
		return
	}
	image := walk.Perform(b, chromedp.FullScreenshot(100))
	walk.Must(b.T, os.MkdirAll(*shots, 0o755))
	walk.Must(b.T, os.WriteFile(filepath.Join(*shots, b.screen.Name+"-"+name+".png"), image, 0o644))
}
