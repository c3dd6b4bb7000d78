package server_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/server"
)

// firstStep gives the right password of Ada, which is not enough.
func (k keyed) firstStep() (attempt string) {
	k.t.Helper()
	a := k.fill("/sign-in", url.Values{"name": {"ada"}, "password": {password}, "next": {"/vessels"}}, "")
	if a.status != http.StatusSeeOther || a.header.Get("Location") != "/sign-in/passkey?next=%2Fvessels" || cookieIn(a, "croze_session") != "" {
		k.t.Fatalf("the password alone: status %d, to %q", a.status, a.header.Get("Location"))
	}
	return cookieIn(a, "croze_attempt")
}

func TestAPasskeyAfterThePassword(t *testing.T) {
	k := keyedHouse(t)
	in := k.fill("/sign-in", url.Values{"name": {"Ada"}, "password": {password}}, "")
	cookie := cookieIn(in, "croze_session")
	ask := func(ask, word string) answer {
		return k.fill("/people/me/passkeys/ask", url.Values{"ask": {ask}, "password": {word}}, cookie)
	}
	if a := ask("1", "not the one it is"); a.status != http.StatusUnprocessableEntity {
		t.Errorf("without the password: status %d", a.status)
	}
	if a := ask("1", password); a.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", a.status, problemOf(a))
	}
	if page := k.page("/people/me", cookie); !page.says("After your password, a passkey is asked for.") {
		t.Error("the page does not say so")
	}

	attempt := k.firstStep()
	if page := k.page("/sign-in/passkey?next=/vessels", attempt); page.status != http.StatusOK || !page.says(`data-next="/vessels"`) || !page.says("Show the passkey") {
		t.Errorf("the page that asks for it: status %d", page.status)
	}
	if page := k.page("/vessels", attempt); page.status != http.StatusSeeOther {
		t.Errorf("half signed in: status %d", page.status)
	}
	options, second := k.asked(attempt)
	if !strings.Contains(options, text(k.ada.id)) || strings.Contains(options, text(k.bo.id)) {
		t.Errorf("asked for are %s", options)
	}
	a := k.send("/sign-in/passkey?next=/vessels", k.ada.shown(options), second)
	if a.status != http.StatusOK || k.letsIn(a) != "Ada" {
		t.Fatalf("both: status %d: %s", a.status, a.body)
	}

	options, second = k.asked(k.firstStep())
	k.bo.handle = nil
	if a := k.send("/sign-in/passkey", k.bo.shown(options), second); a.status != http.StatusUnauthorized || k.letsIn(a) != "" {
		t.Errorf("the passkey of Bo after the password of Ada: status %d", a.status)
	}
	attempt = k.firstStep()
	*k.now = k.now.Add(5 * time.Minute)
	if page := k.page("/sign-in/passkey", attempt); page.status != http.StatusSeeOther || page.header.Get("Location") != "/sign-in" {
		t.Errorf("too late: status %d, to %q", page.status, page.header.Get("Location"))
	}
	if a := ask("", password); a.status != http.StatusSeeOther {
		t.Errorf("no more: status %d: %s", a.status, problemOf(a))
	}
	if a := k.fill("/sign-in", url.Values{"name": {"Ada"}, "password": {password}}, ""); k.letsIn(a) != "Ada" {
		t.Errorf("with the password alone again: status %d", a.status)
	}
}

// TestWhatBecomesOfPasskeys: the last one taken away, one's own new password, and
// one that is given from outside.
func TestWhatBecomesOfPasskeys(t *testing.T) {
	k := keyedHouse(t)
	asks := func(name string) (asks bool, passkeys int) {
		account, _, err := k.all.Account(name)
		must(t, err)
		list, err := k.all.Passkeys(name, "")
		must(t, err)
		return account.AskPasskey, len(list)
	}
	must(t, k.all.AskPasskey("Ada", true))
	must(t, k.all.AskPasskey("bo", true))
	must(t, k.all.ChangePassword("Ada", "another word for it"))
	if asks, n := asks("Ada"); !asks || n != 1 {
		t.Errorf("her own new password: asked for %v, %d left", asks, n)
	}
	list, err := k.all.Passkeys("Bo", "")
	must(t, err)
	must(t, k.all.EndPasskey("Ada", list[0].ID())) // not hers
	if asks, n := asks("Bo"); !asks || n != 1 {
		t.Errorf("Ada took a passkey of Bo away: asked for %v, %d left", asks, n)
	}
	must(t, k.all.EndPasskey("Bo", list[0].ID()))
	if asks, n := asks("Bo"); asks || n != 0 {
		t.Errorf("the last one: asked for %v, %d left", asks, n)
	}
	if err := k.all.AskPasskey("Bo", true); cellar.KindOf(err) != cellar.Refused {
		t.Errorf("asking for one that is not there: %v", err)
	}
	must(t, server.SetPasswordOf(k.kept, "ada", "a third word for it")) // as the console does
	if asks, n := asks("Ada"); asks || n != 0 {
		t.Errorf("a password from the console: asked for %v, %d left", asks, n)
	}
	if a := k.fill("/sign-in", url.Values{"name": {"Ada"}, "password": {"a third word for it"}}, ""); k.letsIn(a) != "Ada" {
		t.Errorf("the way back in: status %d", a.status)
	}
}

// TestWherePasskeysWork says so, or why not.
func TestWherePasskeysWork(t *testing.T) {
	k := keyedHouse(t)
	for _, one := range []struct{ public, host, forwarded, want, says string }{
		{"", "localhost:8080", "", "localhost|http://localhost:8080", ""},
		{"", "LOCALHOST", "", "localhost|http://localhost", ""},
		{"", "192.0.2.7:8080", "", "", "opened by a number"},
		{"", "[2001:db8::7]:8080", "https", "", "opened by a number"},
		{"", "127.0.0.1:8080", "", "", "opened by a number"},
		{"", "cellar.example:8080", "", "", "without https"},
		{"", "cellar.example:8443", "https", "cellar.example|https://cellar.example:8443", ""},
		{"", "cellar.example:443", "https", "cellar.example|https://cellar.example", ""},
		{"HTTPS://cellar.example/", "127.0.0.1:8080", "", "cellar.example|https://cellar.example", ""}, // behind a proxy
		{"https://cellar.example:8443", "elsewhere.example", "https", "cellar.example|https://cellar.example:8443", ""},
		{"https://cellar.example", "localhost:8080", "", "localhost|http://localhost:8080", ""},
		{"https://192.0.2.7", "192.0.2.7", "https", "", "opened by a number"},
		{"http://cellar.example:8080", "cellar.example:8080", "", "", "without https"},
	} {
		h := k.servedWith(server.Options{PublicURL: one.public})
		cookie := k.owner
		if one.forwarded != "" {
			cookie = "__Host-" + cookie
		}
		a := h.asHost("/people/me", one.host, one.forwarded, cookie)
		host, origin, _ := strings.Cut(one.want, "|")
		offered := strings.Contains(a.body, "data-host=")
		if offered != (one.want != "") || offered && !(a.says(`data-host="`+host+`"`) && a.says(`data-origin="`+origin+`"`)) || one.says != "" && !a.says(one.says) {
			t.Errorf("%+v: status %d, offered %v", one, a.status, offered)
		}
	}
}

// TestWhoSignsInIsToldOfPasskeys only where somebody has one.
func TestWhoSignsInIsToldOfPasskeys(t *testing.T) {
	k := keyedHouse(t)
	if page := k.page("/sign-in?next=/book", ""); !page.says("Or with a passkey") || !page.says(`data-next="/book"`) {
		t.Error("the page offers none where there are some")
	}
	if page := k.asHost("/sign-in", "192.0.2.7:8080", "", ""); !page.says("opened by a number") || strings.Contains(page.body, "data-host") {
		t.Error("by a number, the page does not say why there are none")
	}
	for _, name := range []string{"Ada", "Bo"} {
		list, err := k.all.Passkeys(name, "")
		must(t, err)
		must(t, k.all.EndPasskey(name, list[0].ID()))
	}
	if page := k.page("/sign-in", ""); page.says("passkey") {
		t.Error("the page offers passkeys where nobody has one")
	}
}

// asHost looks at a page under some name.
func (h house) asHost(path, host, scheme, cookie string) answer {
	h.t.Helper()
	r := newRequest(path, host)
	if scheme != "" {
		r.Header.Set("X-Forwarded-Proto", scheme)
	}
	return h.do(r, "Cookie", cookie)
}
