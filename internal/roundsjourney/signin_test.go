package roundsjourney

import (
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"testing"
)

// signIn gives the password on the page that the phone shows.
func (p *phone) signIn(password string) {
	p.t.Helper()
	p.becomes(`location.pathname === "/sign-in" && document.querySelector('input[name="password"]') !== null`)
	p.write(`input[name="password"]`, password)
	p.tap("main form button")
}

// changePassword gives the owner another one from a desk, which ends the sessions
// of all browsers.
func (s *store) changePassword(old, password string) {
	s.t.Helper()
	jar, err := cookiejar.New(nil)
	must(s.t, err)
	desk := &http.Client{Jar: jar}
	response, err := desk.PostForm(s.base+"/sign-in", url.Values{"password": {old}})
	must(s.t, err)
	must(s.t, response.Body.Close())
	response, err = desk.PostForm(s.base+"/people/me/password", url.Values{"old": {old}, "password": {password}})
	must(s.t, err)
	must(s.t, response.Body.Close())
	if response.Request.URL.Path != "/sign-in" {
		s.t.Fatalf("another password: status %d at %s", response.StatusCode, response.Request.URL)
	}
}

// TestASessionEndsOnARound: what is saved after that waits on the phone, over a
// reload, and goes up once when the person has signed in again.
func TestASessionEndsOnARound(t *testing.T) {
	t.Parallel()
	const before, after = "a dry cellar in autumn", "another word for it"
	s := newStore(t)
	s.stop()
	s.setPassword(before)
	s.start()
	p := s.newPhone()
	p.open("/rounds")
	p.signIn(before)
	p.becomes(`location.pathname === "/rounds" && navigator.serviceWorker.controller !== null`)
	round := p.walks(3)
	p.tap(`a.primary`)
	p.becomes(`location.pathname === "/v/` + s.vessels[0] + `/log/sample" && ` + ready)
	s.changePassword(before, after)

	p.choose("#scale", "corrected")
	p.write("#strength", "61.4")
	p.tap(".save .primary")
	p.becomes(`document.querySelector('#waiting a[href^="/sign-in"]') !== null && !document.getElementById("waiting").hidden`)
	if got := ask[int](p, waiting); got != 1 {
		t.Fatalf("%d entries wait after a save without a session", got)
	}
	p.open("/outbox")
	p.becomes(`document.querySelectorAll("#entries li").length === 1 && document.querySelectorAll("#entries .problem").length === 0`)
	kept := ask[string](p, `outbox.all().then(items => items[0].id)`)

	p.becomes(`document.querySelector('#waiting a[href^="/sign-in"]') !== null`)
	p.tap(`#waiting a[href^="/sign-in"]`)
	p.signIn(before) // not any more
	p.becomes(`document.querySelector("main .problem:not([hidden])") !== null`)
	if got := ask[int](p, waiting); got != 1 {
		t.Fatalf("%d entries wait after a wrong password", got)
	}
	p.signIn(after)
	p.becomes(`location.pathname === "/outbox" && document.getElementById("nothing").hidden === false`)
	p.becomesZero(t)
	ids := ask[[]string](p, `fetch("/book/export").then(r => r.text()).then(text => text.trim().split("\n").map(line => JSON.parse(line)).filter(e => e.kind === "sample").map(e => e.id))`)
	if len(ids) != 1 || ids[0] != kept {
		t.Errorf("in the book are %v, and %s was kept", ids, kept)
	}
	if got := ask[string](p, `fetch("/api/rounds/`+round+`").then(r => r.json()).then(sheet => sheet.stops[0].status)`); got != "done" {
		t.Errorf("the vessel is %s", got)
	}
}
