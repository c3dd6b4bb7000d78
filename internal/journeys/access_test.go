package journeys

import (
	"strings"
	"testing"

	"example.org/croze/internal/walk"
)

// TestEveryPageForEveryone opens every kind of page of the demo on a telephone
// and at a desk, by day and by night.
func TestEveryPageForEveryone(t *testing.T) {
	t.Parallel()
	p := start(t, "demo")
	pages := pagesOf(t, p)
	if len(pages) < 30 {
		t.Fatalf("only %d pages were found: %v", len(pages), pages)
	}
	for _, s := range []walk.Screen{walk.Phone, walk.Desk} {
		t.Run(s.Name, func(t *testing.T) {
			t.Parallel()
			b := p.tab(t, s)
			for _, address := range pages {
				b.look(address)
			}
		})
	}
	t.Run("keyboard", func(t *testing.T) {
		t.Parallel()
		b := p.tab(t, walk.Desk)
		for _, address := range pages {
			if !repeats(address) {
				b.byKeyboard(address)
			}
		}
	})
}

// repeats says whether a page has nothing for the keyboard that another has
// not: lists of links, and the forms of entries beside that of the sample.
func repeats(address string) bool {
	shape := shapeOf(address)
	return shape == "/book" || strings.HasSuffix(shape, "/next") || // which leads to the form of a sample, with its field ready
		shape == "/bench/plan" || strings.Contains(address, "?") || strings.HasPrefix(shape, "/v/*/log/") && !strings.HasSuffix(shape, "/sample")
}

// look checks a page in both schemes of colour, and with text twice as large.
func (b *tab) look(address string) {
	b.T.Helper()
	b.dress("light")
	b.open(address)
	b.picture(nameOf(address) + "-light")
	b.axe(allRules)
	b.fits("")
	b.dress("dark")
	b.axe(colourRules)
	b.picture(nameOf(address) + "-dark")
	b.fits("200%")
}

// cut finds what sticks out of the window without a way to scroll to it, and
// text that its own box cuts off.
const cut = `(() => {
	const wide = document.documentElement.clientWidth, out = [];
	if (document.documentElement.scrollWidth > wide + 1) out.push("the page is " + document.documentElement.scrollWidth + " wide");
	const scrolls = e => e && e !== document.body && (["auto", "scroll"].includes(getComputedStyle(e).overflowX) || scrolls(e.parentElement));
	const hidden = e => e && (getComputedStyle(e).clipPath !== "none" || hidden(e.parentElement));
	for (const e of document.querySelectorAll("body *")) {
		const box = e.getBoundingClientRect();
		if (box.width === 0 || !e.checkVisibility() || e.closest("svg, datalist, option") || hidden(e) || scrolls(e)) continue;
		if (box.right > wide + 1) out.push("sticks out: " + e.outerHTML.slice(0, 120));
	}
	return out.slice(0, 5);
})()`

// fits checks that nothing is cut off at a size of text.
func (b *tab) fits(size string) {
	b.T.Helper()
	walk.Ask[string](b, `document.documentElement.style.fontSize = "`+size+`"`)
	if size != "" {
		b.picture(nameOf(b.Address()) + "-large")
	}
	for _, what := range walk.Ask[[]string](b, cut) {
		b.T.Errorf("%s on a %s with text of %q: %s", b.Address(), b.screen.Name, size, what)
	}
}
