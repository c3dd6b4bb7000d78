package roundsjourney

import (
	"strconv"
	"strings"

	"github.com/chromedp/chromedp"

	"example.org/croze/internal/walk"
)

// phone is a browser of its own on a small screen that is touched.
type phone struct {
	*walk.Page
	taps int // on the screen and on its number pad
}

// newPhone takes a phone in hand; flags are those of the browser.
func (s *store) newPhone(flags ...chromedp.ExecAllocatorOption) *phone {
	s.t.Helper()
	return &phone{Page: s.Browser(s.t, walk.Phone, flags...)}
}

// another closes the page and opens an empty one.
func (p *phone) another() *phone {
	p.T.Helper()
	return &phone{Page: p.Another(walk.Phone)}
}

func (p *phone) open(path string) {
	p.T.Helper()
	p.Do(chromedp.Navigate(p.Base + path))
}

// tap touches something in the middle of the screen, clear of the bars at its edges.
func (p *phone) tap(selector string) {
	p.T.Helper()
	at := chromedp.CSS(selector)
	walk.Ask[bool](p, `document.activeElement.blur(), true`) // a touch elsewhere puts the number pad away
	p.ToTheMiddle(selector)
	p.Do(chromedp.Click(at))
	p.taps++
}

// pad types on the page's number pad: one tap for each key.
func (p *phone) pad(keys string) {
	p.T.Helper()
	for _, key := range keys {
		p.key(string(key))
	}
}

// next touches the key that goes on to the next field.
func (p *phone) next() {
	p.T.Helper()
	p.key("next")
}

func (p *phone) key(name string) {
	p.T.Helper()
	p.Do(chromedp.Click(chromedp.CSS(`.pad button[data-key="` + name + `"]`)))
	p.taps++
}

// write fills a field in one go, where taps do not matter.
func (p *phone) write(selector, text string) {
	p.T.Helper()
	at := chromedp.CSS(selector)
	p.Do(chromedp.WaitVisible(at))
	walk.Ask[bool](p, `document.querySelector(`+strconv.Quote(selector)+`).select(), true`) // what is typed goes over what is there
	p.Do(chromedp.SendKeys(at, text))
}

// walks begins a round through everything that is due and waits until the
// phone carries it. It returns the round's ID.
func (p *phone) walks(vessels int) string {
	p.T.Helper()
	p.open("/rounds")
	p.Becomes(`navigator.serviceWorker.controller !== null`)
	p.tap(`section[aria-labelledby="begin"] .primary`)
	p.Becomes(`location.pathname.startsWith("/rounds/") && document.getElementById("kept").dataset.carried === "` + strconv.Itoa(vessels) + `"`)
	return strings.TrimPrefix(walk.Ask[string](p, `location.pathname`), "/rounds/")
}
