package server_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/server"
)

// letsIn says whether an answer opens the house, and for whom.
func (k keyed) letsIn(a answer) (name string) {
	k.t.Helper()
	cookie := cookieIn(a, "croze_session")
	if cookie == "" {
		return ""
	}
	p, known, err := k.all.Who(strings.TrimPrefix(cookie, "croze_session="))
	must(k.t, err)
	if !known {
		k.t.Errorf("the cookie %q is of nobody", cookie)
	}
	return p.Name
}

func TestAPasskeyFromMakingToTakingAway(t *testing.T) {
	k := keyedHouse(t)
	in := k.fill("/sign-in", url.Values{"name": {"Ada"}, "password": {password}}, "")
	cookie := cookieIn(in, "croze_session")
	if page := k.page("/people/me", cookie); !page.says(`data-host="localhost"`) || !page.says("of Ada") {
		t.Fatalf("the page offers no passkeys: status %d", page.status)
	}
	begun := k.send("/people/me/passkeys/begin", `{"name":"desk","password":"`+password+`"}`, cookie)
	if begun.status != http.StatusOK || !strings.Contains(begun.body, `"userVerification":"required"`) || !strings.Contains(begun.body, `"residentKey":"required"`) {
		t.Fatalf("status %d: %s", begun.status, begun.body)
	}
	if !strings.Contains(begun.body, text(k.ada.id)) || strings.Contains(begun.body, text(k.bo.id)) {
		t.Errorf("a device is not told which ones she has: %s", begun.body)
	}
	desk, attempt := newDevice(t, hereName, hereBase), cookieIn(begun, "croze_attempt")
	made := desk.made(begun.body)
	if a := k.send("/people/me/passkeys", made, cookie+"; "+attempt); a.status != http.StatusOK || a.body != `{"to":"/people/me?done=saved"}` {
		t.Fatalf("status %d: %s", a.status, a.body)
	}
	if a := k.send("/people/me/passkeys", made, cookie+"; "+attempt); a.status != http.StatusUnprocessableEntity || !a.says("used already") {
		t.Errorf("a second time: status %d: %s", a.status, a.body)
	}
	options, attempt := k.asked("")
	a := k.send("/sign-in/passkey?next=/vessels", desk.shown(options), attempt)
	if a.status != http.StatusOK || a.body != `{"to":"/vessels"}` || k.letsIn(a) != "Ada" {
		t.Fatalf("status %d: %s, as %q", a.status, a.body, k.letsIn(a))
	}
	cookie = cookieIn(a, "croze_session")
	list, err := k.all.Passkeys("Ada", "")
	must(t, err)
	if len(list) != 2 || list[1].Name != "desk" || list[1].Counter != 1 || list[1].LastUsed != *k.now {
		t.Fatalf("kept is %+v", list)
	}
	end := url.Values{"passkey": {list[1].ID()}, "password": {"not the one it is"}}
	if a := k.fill("/people/me/passkeys/end", end, cookie); a.status != http.StatusUnprocessableEntity || !a.says("password: that is not the name and password") {
		t.Errorf("without the password: status %d", a.status)
	}
	end.Set("password", password)
	if a := k.fill("/people/me/passkeys/end", end, cookie); a.status != http.StatusSeeOther {
		t.Errorf("taking it away: status %d: %s", a.status, problemOf(a))
	}
	options, attempt = k.asked("")
	if a := k.send("/sign-in/passkey", desk.shown(options), attempt); a.status != http.StatusUnauthorized || k.letsIn(a) != "" {
		t.Errorf("one that was taken away: status %d", a.status)
	}
}

// spent are those that fail before anybody looks at the passkey.
var spent = map[string]bool{"the same answer twice": true, "an answer after a wrong one": true, "too late": true, "no attempt at all": true}

// TestPasskeysThatAreNotGood shows what nobody is let in by.
func TestPasskeysThatAreNotGood(t *testing.T) {
	for what, show := range map[string]func(k keyed) answer{
		"another origin": func(k keyed) answer {
			k.ada.origin = "http://localhost.elsewhere.example:8080"
			return k.showAda()
		},
		"another port": func(k keyed) answer {
			k.ada.origin = "http://localhost:8081"
			return k.showAda()
		},
		"another host": func(k keyed) answer {
			k.ada.host = "elsewhere.example"
			return k.showAda()
		},
		"nobody made sure who it is": func(k keyed) answer {
			k.ada.flags = present
			return k.showAda()
		},
		"nobody was there": func(k keyed) answer {
			k.ada.flags = verified
			return k.showAda()
		},
		"a signature of something else": func(k keyed) answer {
			k.ada.kind = "create"
			return k.showAda()
		},
		"another device's signature": func(k keyed) answer {
			k.ada.key = k.bo.key
			return k.showAda()
		},
		"another account's passkey": func(k keyed) answer {
			k.bo.handle = k.ada.handle
			options, attempt := k.asked("")
			return k.send("/sign-in/passkey", k.bo.shown(options), attempt)
		},
		"a passkey of nobody": func(k keyed) answer {
			options, attempt := k.asked("")
			return k.send("/sign-in/passkey", newDevice(k.ada.t, hereName, hereBase).shown(options), attempt)
		},
		"the answer of an earlier time": func(k keyed) answer {
			options, attempt := k.asked("")
			answer := k.ada.shown(options)
			if a := k.send("/sign-in/passkey", answer, attempt); k.letsIn(a) != "Ada" {
				k.t.Fatalf("the first time: status %d: %s", a.status, a.body)
			}
			_, again := k.asked("")
			return k.send("/sign-in/passkey", answer, again)
		},
		"the same answer twice": func(k keyed) answer {
			options, attempt := k.asked("")
			answer := k.ada.shown(options)
			k.send("/sign-in/passkey", answer, attempt)
			return k.send("/sign-in/passkey", answer, attempt)
		},
		"an answer after a wrong one": func(k keyed) answer {
			options, attempt := k.asked("")
			k.send("/sign-in/passkey", "{}", attempt)
			return k.send("/sign-in/passkey", k.ada.shown(options), attempt)
		},
		"too late": func(k keyed) answer {
			options, attempt := k.asked("")
			*k.now = k.now.Add(5 * time.Minute)
			return k.send("/sign-in/passkey", k.ada.shown(options), attempt)
		},
		"another browser": func(k keyed) answer {
			options, _ := k.asked("")
			_, other := k.asked("")
			return k.send("/sign-in/passkey", k.ada.shown(options), other)
		},
		"no attempt at all": func(k keyed) answer {
			options, _ := k.asked("")
			return k.send("/sign-in/passkey", k.ada.shown(options), "")
		},
		"nothing that could be read": func(k keyed) answer {
			_, attempt := k.asked("")
			return k.send("/sign-in/passkey", `{"id":"x","response":[]}`, attempt)
		},
	} {
		t.Run(what, func(t *testing.T) {
			k, d := keyedHouse(t), new(diary)
			k.house = k.servedWith(server.Options{Log: d.log(), People: k.all})
			k.ada.t, k.bo.t, k.t = t, t, t
			a, reason := show(k), "This passkey does not open the store here."
			if spent[what] {
				reason = "That was asked for too long ago, or was used already."
			}
			if a.status != http.StatusUnauthorized || cookieIn(a, "croze_session") != "" || !strings.HasPrefix(a.body, `{"error":"`+reason) {
				t.Errorf("status %d, cookie %q: %s", a.status, cookieIn(a, "croze_session"), a.body)
			}
			if !strings.Contains(d.all(), "level=WARN") {
				t.Errorf("it is not logged: %s", d.all())
			}
		})
	}
}

// showAda shows the passkey of Ada as it is.
func (k keyed) showAda() answer {
	k.t.Helper()
	options, attempt := k.asked("")
	return k.send("/sign-in/passkey", k.ada.shown(options), attempt)
}

func TestACounterThatGoesBack(t *testing.T) {
	k, d := keyedHouse(t), new(diary)
	k.house = k.servedWith(server.Options{Log: d.log()})
	k.ada.counter = 40
	if a := k.showAda(); k.letsIn(a) != "Ada" {
		t.Fatalf("status %d: %s", a.status, a.body)
	}
	k.ada.counter = 40 // once more: a copy that was made before
	if a := k.showAda(); a.status != http.StatusUnauthorized || k.letsIn(a) != "" || !a.says("as a copy of it would") {
		t.Errorf("the same count: status %d: %s", a.status, a.body)
	}
	d.has(t, "WARN", "copied passkey", "Ada", 1)
	k.ada.counter = 100 // whichever of the two it is now
	if a := k.showAda(); a.status != http.StatusUnauthorized || k.letsIn(a) != "" || !a.says("It opens nothing any more") {
		t.Errorf("after that: status %d: %s", a.status, a.body)
	}
	k.bo.counter = ^uint32(0) // becomes 0: a device that does not count
	for range 2 {
		options, attempt := k.asked("")
		k.bo.counter = ^uint32(0)
		if a := k.send("/sign-in/passkey", k.bo.shown(options), attempt); k.letsIn(a) != "Bo" {
			t.Errorf("a device that does not count: status %d: %s", a.status, a.body)
		}
	}
	in := k.fill("/sign-in", url.Values{"name": {"Ada"}, "password": {password}}, "")
	if page := k.page("/people/me", cookieIn(in, "croze_session")); !page.says("opens nothing: on 2026-11-25 it counted fewer") {
		t.Error("her page does not say so")
	}
}

func TestWrongPasskeysAreCounted(t *testing.T) {
	k := keyedHouse(t)
	k.ada.origin = "http://elsewhere.example"
	for i := range 10 {
		if a := k.showAda(); a.status != http.StatusUnauthorized {
			t.Fatalf("try %d: status %d", i+1, a.status)
		}
	}
	if a := k.send("/sign-in/passkey/begin", "{}", ""); a.status != http.StatusTooManyRequests {
		t.Errorf("asking once more: status %d", a.status)
	}
	if a := k.send("/sign-in/passkey", "{}", ""); a.status != http.StatusTooManyRequests {
		t.Errorf("showing once more: status %d", a.status)
	}
	if a := k.fill("/sign-in", url.Values{"name": {"Ada"}, "password": {password}}, ""); a.status != http.StatusTooManyRequests {
		t.Errorf("with the password: status %d", a.status)
	}
	*k.now = today.Add(16 * time.Minute)
	k.ada.origin = hereBase
	if a := k.showAda(); k.letsIn(a) != "Ada" {
		t.Errorf("later: status %d: %s", a.status, a.body)
	}
}

// TestAPasskeyIsMadeWhereItWasAskedFor: for the session, once, in time, and for
// whoever knows the password.
func TestAPasskeyIsMadeWhereItWasAskedFor(t *testing.T) {
	k := keyedHouse(t)
	begin := func(body string) answer { return k.send("/people/me/passkeys/begin", body, k.owner) }
	for body, reason := range map[string]string{
		`{"name":"desk","password":"not the one it is"}`: "password: that is not the name and password",
		`{"name":" ","password":"` + password + `"}`:     "passkey: ",
		`{"name":`: "a passkey",
	} {
		if a := begin(body); a.status != http.StatusUnprocessableEntity || !a.says(reason) || cookieIn(a, "croze_attempt") != "" {
			t.Errorf("%s: status %d: %s", body, a.status, a.body)
		}
	}
	good := `{"name":"desk","password":"` + password + `"}`
	for what, finish := range map[string]func(options, attempt string) answer{
		"in another's session": func(options, attempt string) answer {
			return k.send("/people/me/passkeys", newDevice(t, hereName, hereBase).made(options), k.hand+"; "+attempt)
		},
		"in another session of hers": func(options, attempt string) answer {
			secret, err := k.all.SignIn("Ada", password, "192.0.2.1", "another browser")
			must(t, err)
			return k.send("/people/me/passkeys", newDevice(t, hereName, hereBase).made(options), "croze_session="+secret+"; "+attempt)
		},
		"too late": func(options, attempt string) answer {
			*k.now = k.now.Add(5 * time.Minute)
			return k.send("/people/me/passkeys", newDevice(t, hereName, hereBase).made(options), k.owner+"; "+attempt)
		},
		"of another origin": func(options, attempt string) answer {
			return k.send("/people/me/passkeys", newDevice(t, hereName, "http://elsewhere.example").made(options), k.owner+"; "+attempt)
		},
		"of another host": func(options, attempt string) answer {
			return k.send("/people/me/passkeys", newDevice(t, "elsewhere.example", hereBase).made(options), k.owner+"; "+attempt)
		},
		"with nobody made sure of": func(options, attempt string) answer {
			d := newDevice(t, hereName, hereBase)
			d.flags = present
			return k.send("/people/me/passkeys", d.made(options), k.owner+"; "+attempt)
		},
		"that is another's already": func(options, attempt string) answer {
			d := newDevice(t, hereName, hereBase)
			d.id = k.bo.id
			return k.send("/people/me/passkeys", d.made(options), k.owner+"; "+attempt)
		},
		"as a way to sign in": func(options, attempt string) answer {
			if a := k.send("/sign-in/passkey", k.ada.shown(options), attempt); a.status != http.StatusUnauthorized || !a.says("asked for too long ago") {
				t.Errorf("what a new passkey is to sign lets an old one in: status %d: %s", a.status, a.body)
			}
			return k.send("/people/me/passkeys", newDevice(t, hereName, hereBase).made(options), k.owner+"; "+attempt)
		},
	} {
		begun := begin(good)
		if begun.status != http.StatusOK {
			t.Fatalf("%s: status %d: %s", what, begun.status, begun.body)
		}
		if a := finish(begun.body, cookieIn(begun, "croze_attempt")); a.status != http.StatusUnprocessableEntity || !a.says("passkey: ") {
			t.Errorf("%s: status %d: %s", what, a.status, a.body)
		}
	}
	if options, _ := k.asked(cookieIn(begin(good), "croze_attempt")); strings.Contains(options, text(k.ada.id)) {
		t.Errorf("whoever asks for a new passkey is taken for having signed in half: %s", options)
	}
	for _, name := range []string{"Ada", "Bo"} {
		if list, err := k.all.Passkeys(name, ""); err != nil || len(list) != 1 {
			t.Errorf("%s has %d passkeys, %v", name, len(list), err)
		}
	}
	if a := k.send("/people/me/passkeys/begin", good, ""); a.status != http.StatusSeeOther && a.status != http.StatusUnauthorized {
		t.Errorf("without a session: status %d", a.status)
	}
}
