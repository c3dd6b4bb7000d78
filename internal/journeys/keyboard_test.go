package journeys

import (
	"strings"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"example.org/croze/internal/walk"
)

// mark numbers what a person should get to with the Tab key. Of radio buttons
// one of each group is got to, the rest with arrows.
const mark = `(() => {
	const all = [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex='0']")]
		.filter(e => !e.disabled && e.checkVisibility({visibilityProperty: true}));
	const groups = new Set();
	let n = 0;
	for (const e of all) {
		if (e.type === "radio") {
			if (groups.has(e.name)) continue;
			groups.add(e.name);
		}
		e.dataset.stop = n++;
	}
	document.activeElement.blur();
	return n;
})()`

// here says what has the focus, and whether that can be seen: the ring around
// it is drawn, and nothing lies over its middle.
const here = `(() => {
	const e = document.activeElement;
	if (!e || e === document.body) return "";
	const style = getComputedStyle(e), box = e.getBoundingClientRect();
	const ring = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
	const inside = box.bottom > 0 && box.top < innerHeight;
	const radio = e.type === "radio" ? document.querySelector("[type=radio][name='" + e.name + "'][data-stop]") : e;
	return [radio.dataset.stop, ring ? "ring" : "no ring", inside ? "in view" : "out of view", e.outerHTML.slice(0, 100)].join("|");
})()`

// dateParts are the stops that date fields have within: day, month, year, hour,
// minute and calendar, of at most two.
const dateParts = 12

// byKeyboard walks through a page with the Tab key alone.
func (b *tab) byKeyboard(address string) {
	b.T.Helper()
	b.open(address)
	stops := walk.Ask[int](b, mark)
	reached := make(map[string]bool)
	for range stops + dateParts {
		b.Do(chromedp.KeyEvent(kb.Tab))
		at := walk.Ask[string](b, here)
		if at == "" {
			break
		}
		parts := strings.SplitN(at, "|", 4)
		reached[parts[0]] = true
		if parts[1] != "ring" || parts[2] != "in view" {
			b.T.Errorf("%s: the focus cannot be seen (%s, %s) on %s", address, parts[1], parts[2], parts[3])
		}
	}
	if len(reached) < stops {
		missed := walk.Ask[[]string](b, `[...document.querySelectorAll("[data-stop]")].map(e => e.dataset.stop + "|" + e.outerHTML.slice(0, 100))`)
		for _, m := range missed {
			number, what, _ := strings.Cut(m, "|")
			if !reached[number] {
				b.T.Errorf("%s: the Tab key does not reach %s", address, what)
			}
		}
	}
}
