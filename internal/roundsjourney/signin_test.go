package roundsjourney

import (
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"testing"

	"example.org/croze/internal/walk"
)

// signIn gives the password on the page that the phone shows.
func (p *phone) signIn(password string) {
	p.T.Helper()
	p.Becomes(`location.pathname === "/sign-in" && document.readyState === "complete" && document.querySelector('input[name="password"]') !== null`)
	p.write(`input[name="password"]`, password)
	p.tap("main form button")
}

// desk is another browser, in which the owner is signed in.
func (s *store) desk(password string) *http.Client {
	s.t.Helper()
	jar, err := cookiejar.New(nil)
	walk.Must(s.t, err)
	desk := &http.Client{Jar: jar}
	response, err := desk.PostForm(s.Base+"/sign-in", url.Values{"password": {password}})
	walk.Must(s.t, err)
	walk.Must(s.t, response.Body.Close())
	return desk
}

// changePassword gives the owner another one from a desk, which ends the sessions
// of all browsers.
func (s *store) changePassword(old, password string) {
	s.t.Helper()
	response, err := s.desk(old).PostForm(s.Base+"/people/me/password", url.Values{"old": {old}, "password": {password}})
	walk.Must(s.t, err)
	walk.Must(s.t, response.Body.Close())
	if response.Request.URL.Path != "/sign-in" {
		s.t.Fatalf("another password: status %d at %s", response.StatusCode, response.Request.URL)
	}
}

// The owner's passwords, before and after the session ends on a round.
const before, after = "a dry cellar in autumn", "another word for it"

// keptWithoutSession is a phone on which a sample was saved after its session had
// ended, and the ID of that entry.
func (s *store) keptWithoutSession() (p *phone, round, id string) {
	s.t.Helper()
	s.Stop()
	s.setPassword(before)
	s.Again()
	p = s.newPhone()
	p.open("/rounds")
	p.signIn(before)
	p.Becomes(`location.pathname === "/rounds" && navigator.serviceWorker.controller !== null`)
	round = p.walks(3)
	p.tap(`a.primary`)
	p.Becomes(`location.pathname === "/v/` + s.vessels[0] + `/log/sample" && ` + ready)
	s.changePassword(before, after)

	p.choose("#scale", "corrected")
	p.write("#strength", "61.4")
	p.tap(".save .primary")
	p.Becomes(signInIsOffered)
	if got := walk.Ask[int](p, waiting); got != 1 {
		s.t.Fatalf("%d entries wait after a save without a session", got)
	}
	p.open("/outbox")
	p.Becomes(`document.querySelectorAll("#entries li").length === 1 && document.querySelectorAll("#entries .problem").length === 0`)
	return p, round, walk.Ask[string](p, `outbox.all().then(items => items[0].id)`)
}

const signInIsOffered = `document.querySelector('#waiting a[href^="/sign-in"]') !== null && !document.getElementById("waiting").hidden`

// samples are those of the book, as who and ID, for whoever is signed in.
func (p *phone) samples() []string {
	p.T.Helper()
	return walk.Ask[[]string](p, `fetch("/book/export").then(r => r.text()).then(text => text.trim().split("\n").map(line => JSON.parse(line)).filter(e => e.kind === "sample").map(e => e.who + " " + e.id))`)
}

// TestASessionEndsOnARound: what is saved after that waits on the phone, over a
// reload, and goes up once when the person has signed in again.
func TestASessionEndsOnARound(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p, round, kept := s.keptWithoutSession()
	p.Becomes(signInIsOffered)
	p.tap(`#waiting a[href^="/sign-in"]`)
	p.signIn(before) // not any more
	p.Becomes(`document.readyState === "complete" && document.querySelector("main .problem:not([hidden])") !== null`)
	if got := walk.Ask[int](p, waiting); got != 1 {
		t.Fatalf("%d entries wait after a wrong password", got)
	}
	p.signIn(after)
	p.Becomes(`location.pathname === "/outbox" && document.getElementById("nothing").hidden === false`)
	p.becomesZero(t)
	if got := p.samples(); len(got) != 1 || got[0] != "owner "+kept {
		t.Errorf("in the book are %v, and %s was kept", got, kept)
	}
	if got := walk.Ask[string](p, `fetch("/api/rounds/`+round+`").then(r => r.json()).then(sheet => sheet.stops[0].status)`); got != "done" {
		t.Errorf("the vessel is %s", got)
	}
}

// whatIsShown counts the pages and sheets of the store that are kept on a phone.
const whatIsShown = `(async () => {
  const pages = await (await caches.open("croze-pages")).keys();
  return pages.length + (await outbox.sheetKeys()).length;
})()`

// TestAnotherSignsInOnThePhone: what the owner wrote down is not taken for theirs.
func TestAnotherSignsInOnThePhone(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p, _, kept := s.keptWithoutSession()
	desk := s.desk(after)
	response, err := desk.PostForm(s.Base+"/people", url.Values{"name": {"Bo"}, "role": {"keeper"}, "password": {before}})
	walk.Must(t, err)
	walk.Must(t, response.Body.Close())
	p.open("/sign-in?next=/outbox")
	p.Becomes(`document.querySelector('input[name="name"]') !== null`)
	p.write(`input[name="name"]`, "Bo")
	p.signIn(before)
	p.Becomes(`location.pathname === "/outbox" && document.querySelector("#entries .problem")?.textContent.includes("owner wrote this down")`)
	if got := p.samples(); len(got) != 0 {
		t.Fatalf("in the book are %v", got)
	}
	p.open("/vessels")
	p.Becomes(`document.readyState === "complete"`)
	if walk.Ask[int](p, whatIsShown) == 0 {
		t.Error("nothing that the store has shown is on the phone, so that signing out has nothing to clear")
	}
	p.tap(`form[action="/sign-out"] button`)
	p.Becomes(`location.pathname === "/sign-in" && document.readyState === "complete"`)
	if left := walk.Ask[int](p, whatIsShown); left != 0 {
		t.Errorf("%d pages and sheets of the store stay on the phone after signing out", left)
	}
	p.open("/sign-in?next=/rounds")
	p.Becomes(`document.querySelector('input[name="name"]') !== null`)
	p.write(`input[name="name"]`, "owner")
	p.signIn(after)
	p.Becomes(`location.pathname === "/rounds"`)
	p.open("/outbox")
	p.Becomes(`document.querySelector("#entries .again") !== null`)
	p.tap("#entries .again")
	p.Becomes(`document.getElementById("nothing").hidden === false`)
	if got := p.samples(); len(got) != 1 || got[0] != "owner "+kept {
		t.Errorf("in the book are %v, and %s was kept", got, kept)
	}
}

// TestAReaderCarriesARoundToRead: a device does not promise what its reader may not do.
func TestAReaderCarriesARoundToRead(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	s.Stop()
	s.setPassword(before)
	s.Again()
	p := s.newPhone()
	p.open("/rounds")
	p.signIn(before)
	p.Becomes(`location.pathname === "/rounds" && navigator.serviceWorker.controller !== null`)
	round := p.walks(3)
	response, err := s.desk(before).PostForm(s.Base+"/people", url.Values{"name": {"Bo"}, "role": {"reader"}, "password": {after}})
	walk.Must(t, err)
	walk.Must(t, response.Body.Close())
	p.tap(`form[action="/sign-out"] button`)
	p.Becomes(`location.pathname === "/sign-in" && document.readyState === "complete"`)
	p.open("/sign-in?next=/rounds/" + round)
	p.Becomes(`document.querySelector('input[name="name"]') !== null`)
	p.write(`input[name="name"]`, "Bo")
	p.signIn(after)
	p.Becomes(`location.pathname === "/rounds/` + round + `" && document.getElementById("kept").textContent !== ""`)
	if got := walk.Ask[string](p, `document.getElementById("kept").textContent`); got != "This device carries the round, to be read without a signal." {
		t.Errorf("the page of a reader says %q", got)
	}
}
