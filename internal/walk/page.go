package walk

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// Longest is how long a step may take on a busy machine.
const Longest = 45 * time.Second

// Page is a page of a browser.
type Page struct {
	T    *testing.T
	Ctx  context.Context
	Base string // address of the program
}

// Walker is a page, or what is built upon one.
type Walker interface{ This() *Page }

// This is the page itself.
func (p *Page) This() *Page { return p }

// Perform does one thing in the page, in good time.
func Perform[T any](w Walker, step chromedp.Action[T]) T {
	p := w.This()
	p.T.Helper()
	ctx, cancel := context.WithTimeout(p.Ctx, Longest)
	defer cancel()
	value, err := chromedp.Run(ctx, step)
	if err != nil {
		p.T.Fatalf("%v\non %s", err, p.Seen())
	}
	return value
}

// Ask evaluates an expression in the page; a promise is waited for.
func Ask[T any](w Walker, expression string) T {
	w.This().T.Helper()
	return Perform(w, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// Do takes steps that return nothing.
func (p *Page) Do(steps ...chromedp.Action[chromedp.Void]) {
	p.T.Helper()
	for _, step := range steps {
		Perform(p, step)
	}
}

// Becomes waits until an expression is true, over pages that follow one another.
func (p *Page) Becomes(expression string) {
	p.T.Helper()
	ctx, cancel := context.WithTimeout(p.Ctx, Longest)
	defer cancel()
	for {
		yes, err := chromedp.Run(ctx, chromedp.Poll[bool](expression, chromedp.WithPollingTimeout(Longest)))
		if yes && err == nil {
			return
		}
		if ctx.Err() != nil {
			p.T.Fatalf("it never came true: %s\non %s (%v)", expression, p.Seen(), err)
		}
	}
}

// Text is what an element shows.
func (p *Page) Text(selector string) string {
	p.T.Helper()
	return strings.TrimSpace(Perform(p, chromedp.Text(chromedp.CSS(selector))))
}

// Says expects a text within an element.
func (p *Page) Says(selector, text string) {
	p.T.Helper()
	if got := p.Text(selector); !strings.Contains(got, text) {
		p.T.Errorf("on %s, %s says %q and not %q", p.Address(), selector, got, text)
	}
}

// Address is where the page is, without the program's own.
func (p *Page) Address() string {
	ctx, cancel := context.WithTimeout(p.Ctx, Longest)
	defer cancel()
	address, err := chromedp.Run(ctx, chromedp.Location())
	if err != nil {
		return "an unknown page"
	}
	return strings.TrimPrefix(address, p.Base)
}

// Seen says where the page is and what it shows, for a failure.
func (p *Page) Seen() string {
	ctx, cancel := context.WithTimeout(p.Ctx, 5*time.Second)
	defer cancel()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.pathname + location.search + ": " + document.body.innerText.slice(0, 600)`))
	if err != nil {
		return "an unknown page"
	}
	return text
}
