package server_test

import (
	"context"
	"crypto/tls"
	"net"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"example.org/croze/internal/server"
)

// handshake tries one with a client that knows no version above most.
func handshake(config *tls.Config, most uint16) error {
	here, there := net.Pipe()
	defer here.Close()
	served := make(chan error, 1)
	go func() {
		served <- tls.Server(there, config).Handshake()
		there.Close()
	}()
	client := tls.Client(here, &tls.Config{InsecureSkipVerify: true, MinVersion: tls.VersionTLS10, MaxVersion: most})
	err := client.Handshake()
	here.Close()
	<-served
	return err
}

func TestOldTLSIsRefused(t *testing.T) {
	config, err := server.SelfMade(t.TempDir(), today)
	must(t, err)
	for version, good := range map[uint16]bool{tls.VersionTLS11: false, tls.VersionTLS12: true, tls.VersionTLS13: true} {
		if err := handshake(config, version); (err == nil) != good {
			t.Errorf("%s: %v", tls.VersionName(version), err)
		}
	}
}

// secured serves a house over https on this machine, for a browser that trusts it
// and follows no redirect.
func (h house) secured() (base string, browser *http.Client) {
	h.t.Helper()
	dir := h.t.TempDir()
	config, err := server.SelfMade(dir, today)
	must(h.t, err)
	ctx, stop := context.WithCancel(context.Background())
	at, done := make(chan net.Addr, 1), make(chan error, 1)
	go func() {
		done <- server.Serve(ctx, h.app, "127.0.0.1:0", config, func(address net.Addr) { at <- address })
	}()
	transport := &http.Transport{TLSClientConfig: &tls.Config{RootCAs: trusting(h.t, dir), Time: h.book.Now}, DisableKeepAlives: true}
	h.t.Cleanup(func() {
		stop()
		must(h.t, <-done)
	})
	select {
	case address := <-at:
		base = "https://" + address.String()
	case err := <-done:
		h.t.Fatal(err)
	}
	return base, &http.Client{Transport: transport, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

// asked sends a request with a cookie, which may be none.
func asked(t *testing.T, browser *http.Client, method, address, cookie string, form url.Values) *http.Response {
	t.Helper()
	r, err := http.NewRequest(method, address, strings.NewReader(form.Encode()))
	must(t, err)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Cookie", cookie)
	response, err := browser.Do(r)
	must(t, err)
	must(t, response.Body.Close())
	return response
}

func TestTheCookieOverHTTPS(t *testing.T) {
	base, browser := lockedHouse(t).secured()
	given := asked(t, browser, http.MethodPost, base+"/sign-in", "", url.Values{"password": {password}}).Header.Get("Set-Cookie")
	for _, flag := range []string{"__Host-croze_session=", "; path=/;", "; secure", "; HttpOnly", "; SameSite=Lax"} {
		if !strings.Contains(given, flag) {
			t.Errorf("the cookie %q lacks %s", given, flag)
		}
	}
	if strings.Contains(strings.ToLower(given), "domain=") {
		t.Errorf("the cookie %q is for other hosts too", given)
	}
	cookie, _, _ := strings.Cut(given, ";")
	if r := asked(t, browser, http.MethodGet, base+"/vessels", cookie, nil); r.StatusCode != http.StatusOK {
		t.Errorf("signed in: status %d", r.StatusCode)
	}
	planted := strings.TrimPrefix(cookie, "__Host-") // as a page without https could
	if r := asked(t, browser, http.MethodGet, base+"/vessels", planted, nil); r.StatusCode != http.StatusSeeOther {
		t.Errorf("with a cookie of another name: status %d", r.StatusCode)
	}
	gone := asked(t, browser, http.MethodPost, base+"/sign-out", cookie, nil).Header.Get("Set-Cookie")
	if !strings.HasPrefix(gone, "__Host-croze_session=;") || !strings.Contains(gone, "1970") || !strings.Contains(gone, "; secure") {
		t.Errorf("signing out sets %q, which browsers do not take for the same cookie", gone)
	}
	if r := asked(t, browser, http.MethodGet, base+"/vessels", cookie, nil); r.StatusCode != http.StatusSeeOther {
		t.Errorf("signed out: status %d", r.StatusCode)
	}
}

// TestOverHTTPSAlone: browsers are told so where the owner wants it, and never
// over http, where anybody could say it.
func TestOverHTTPSAlone(t *testing.T) {
	const header = "Strict-Transport-Security"
	for _, wanted := range []bool{false, true} {
		h := lockedHouse(t).servedWith(server.Options{SecureOnly: wanted})
		base, browser := h.secured()
		for _, path := range []string{"/sign-in", "/static/croze.css", "/healthz", "/nowhere"} {
			said := asked(t, browser, http.MethodGet, base+path, "", nil).Header.Get(header)
			if wanted && said != "max-age=31536000" || !wanted && said != "" {
				t.Errorf("wanted %v: %s over https says %q", wanted, path, said)
			}
			if said := h.get(path).header.Get(header); said != "" {
				t.Errorf("wanted %v: %s over http says %q", wanted, path, said)
			}
		}
	}
}
