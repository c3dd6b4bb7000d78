package server_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// spellings are the ways to write an address that the router takes for the same.
func spellings(path string) []string {
	return []string{path + "/", path + "//", path + "///", strings.ToUpper(path), strings.ToUpper(path) + "//"}
}

// TestEverySpellingAsksForTheSameRole goes to every route there is, as a reader
// and as a hand: what is refused in one spelling is refused in all, and a
// refusal changes nothing.
func TestEverySpellingAsksForTheSameRole(t *testing.T) {
	s := staffedHouse(t)
	refused := 0
	for _, route := range s.app.GetRoutes(true) {
		path := parameter.ReplaceAllString(route.Path, "x")
		for _, cookie := range []string{s.reader, s.hand} {
			ask := func(path string) answer {
				if route.Method == http.MethodGet {
					return s.get(path, "Cookie", cookie)
				}
				return s.unchanged(path, func() answer { return s.post(path, []string{"note", ""}, "Cookie", cookie) })
			}
			if route.Method != http.MethodGet && route.Method != http.MethodPost || path == "/sign-out" || strings.HasPrefix(path, "/people/me") {
				continue
			}
			if ask(path).status != http.StatusForbidden {
				continue
			}
			refused++
			for _, other := range spellings(path) {
				if a := ask(other); a.status != http.StatusForbidden && a.status != http.StatusNotFound {
					t.Errorf("%s %s is refused and %s is not: status %d", route.Method, path, other, a.status)
				}
			}
		}
	}
	if refused < 40 {
		t.Errorf("only %d addresses are refused to readers and hands", refused)
	}
}

// TestAddressesThatAreNone: dots, doubled and encoded slashes and other methods
// lead past no check, to anybody.
func TestAddressesThatAreNone(t *testing.T) {
	s := staffedHouse(t)
	for _, path := range []string{
		"/book//export", "/book/./export", "/static/../book/export", "/book/%65xport", "/book%2fexport", "/book/export%2f", "/book/export;x=1", "/book/export%00",
		"/static/%2e%2e/%2e%2e/croze.db", "/static/..%2f..%2fcroze.db", "/vendor/../../etc/passwd", "/photo/..%2f..%2fcroze.db", "/photo/" + strings.Repeat("A", 64), "/people/me/../../people",
		"/calendar/x.ics", "/calendar/.ics", "/backups/croze.db", "/croze.db", "/.git/config", "/debug/pprof/",
	} {
		u := url.URL{Opaque: path}
		if a := s.get(u.String(), "Cookie", s.reader); a.status < 400 || a.status >= 500 || strings.Contains(a.body, `"hash":`) {
			t.Errorf("%s: status %d", path, a.status)
		}
	}
	for _, header := range [][]string{{"X-HTTP-Method-Override", "POST"}, {"X-Method-Override", "DELETE"}, {"X-Original-URL", "/book/export"}, {"X-Rewrite-URL", "/book/export"}, {"X-Forwarded-Prefix", "/book/export"}} {
		a := s.unchanged(header[0], func() answer { return s.get("/v/RYE-1", append(header, "Cookie", s.reader)...) })
		if a.status != http.StatusOK || strings.Contains(a.body, `"hash":`) {
			t.Errorf("%s: status %d", header[0], a.status)
		}
	}
}

// openToAll are the routes that answer somebody who is not signed in. They
// show nothing of the store.
var openToAll = map[string]bool{
	"/healthz": true, "/readyz": true, "/metrics": true, "/static/*": true, "/vendor/*": true, "/sign-in": true, "/sign-in/passkey": true,
	"/sign-in/passkey/begin": true, "/set-up": true, "/sw.js": true, "/manifest.webmanifest": true, "/offline": true, "/outbox": true, "/scan": true,
	"/phone": true, "/certificate": true, "/calendar/:secret.ics": true,
}

// TestOutsidersSeeNothing: every route but those asks who one is, in every
// spelling, whatever is sent along, and shows and changes nothing.
func TestOutsidersSeeNothing(t *testing.T) {
	s := lively(t)
	lies := [][]string{{"Cookie", "croze_session=" + strings.Repeat("A", 43)}, {"Authorization", "Bearer croze_" + strings.Repeat("A", 43)}, {"X-Forwarded-User", "Ada"}}
	asked := 0
	for _, route := range s.app.GetRoutes(true) {
		if route.Method != http.MethodGet && route.Method != http.MethodPost {
			continue
		}
		path := strings.NewReplacer(":code", rye, ":name", "R1", ":lot", "L-1", ":kind", "sample").Replace(route.Path)
		path = parameter.ReplaceAllString(path, "x")
		for _, address := range append(spellings(path), path) {
			header := lies[asked%len(lies)]
			asked++
			a := s.unchanged(address, func() answer {
				if route.Method == http.MethodGet {
					return s.get(address, header...)
				}
				return s.post(address, []string{"name", "Ada", "password", "guess", "note", "x"}, header...)
			})
			asks := a.status == http.StatusUnauthorized || a.status == http.StatusSeeOther && strings.HasPrefix(a.header.Get("Location"), "/sign-in")
			if !openToAll[route.Path] && !asks {
				t.Errorf("%s %s: status %d, to %q", route.Method, address, a.status, a.header.Get("Location"))
			}
			for _, secret := range []string{rye + "<", "Lower store", `"vessel":`, `"hash"`, "Ines"} {
				if strings.Contains(a.body, secret) {
					t.Errorf("%s %s shows %q", route.Method, address, secret)
				}
			}
		}
	}
	if asked < 500 {
		t.Errorf("only %d addresses are asked", asked)
	}
}
