package server_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
)

func TestWritesOfOtherSites(t *testing.T) {
	h := smallHouse(t)
	for _, from := range []struct {
		what    string
		headers []string
		allowed bool
	}{
		{"a page of the house", []string{"Sec-Fetch-Site", "same-origin"}, true},
		{"an address typed in", []string{"Sec-Fetch-Site", "none"}, true},
		{"another site", []string{"Sec-Fetch-Site", "cross-site"}, false},
		{"a sister site", []string{"Sec-Fetch-Site", "same-site"}, false},
		{"another site in an older browser", []string{"Origin", "https://elsewhere.example"}, false},
		{"the house in an older browser", []string{"Origin", "http://example.com"}, true}, // the host of test requests
		{"no page at all", []string{"Origin", "null"}, false},
		{"a program", nil, true},
		{"a liar", []string{"Sec-Fetch-Site", "cross-site", "Origin", "http://example.com"}, false},
	} {
		before := h.head()
		a := h.post("/v/RYE-1/log/note", []string{"note", from.what}, from.headers...)
		if done := h.head() != before; done != from.allowed {
			t.Errorf("%s: written %v, status %d", from.what, done, a.status)
		}
		if !from.allowed && (a.status != http.StatusForbidden || !a.says("a page of another site")) {
			t.Errorf("%s: status %d: %s", from.what, a.status, problemOf(a))
		}
	}
}

func TestSafeHeaders(t *testing.T) {
	h := smallHouse(t)
	for _, address := range []string{"/", "/v/RYE-1", "/static/croze.js", "/api/stock", "/nowhere", "/labels/sheet?layout=roll-62&code=RYE-1"} {
		a := h.get(address)
		for name, want := range map[string]string{
			"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "same-origin",
			"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin",
		} {
			if a.header.Get(name) != want {
				t.Errorf("%s: %s is %q", address, name, a.header.Get(name))
			}
		}
		policy := a.header.Get("Content-Security-Policy")
		for _, part := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "base-uri 'none'", "frame-ancestors 'none'", "form-action 'self'"} {
			if !strings.Contains(policy, part) {
				t.Errorf("%s: the policy %q lacks %s", address, policy, part)
			}
		}
		if strings.Contains(policy, "unsafe") || regexp.MustCompile(`https?:|\*`).MatchString(policy) {
			t.Errorf("%s: the policy %q lets in too much", address, policy)
		}
		if cache := a.header.Get("Cache-Control"); !strings.HasPrefix(address, "/static/") && cache != "no-store" {
			t.Errorf("%s: Cache-Control is %q", address, cache)
		}
	}
}

var (
	inlineScript = regexp.MustCompile(`<script>|<script [^>]*[^>]>[^<]| on[a-z]+="|javascript:`)
	inlineStyle  = regexp.MustCompile(`<style| style="`)
	elsewhereURL = regexp.MustCompile(`(?:src|href|action)="(?:https?:)?//`)
)

// TestPagesKeepToThePolicy looks for what the policy would block.
func TestPagesKeepToThePolicy(t *testing.T) {
	h := demoHouse(t)
	for route, address := range h.names().addresses() {
		a := h.get(address)
		if !strings.HasPrefix(a.header.Get("Content-Type"), "text/html") {
			continue
		}
		for what, found := range map[string]string{
			"script": inlineScript.FindString(a.body), "style": inlineStyle.FindString(a.body), "host": elsewhereURL.FindString(a.body),
		} {
			if found != "" {
				t.Errorf("%s has a %s of its own: %s", route, what, found)
			}
		}
	}
}

func TestAssets(t *testing.T) {
	h := smallHouse(t)
	for name, kind := range map[string]string{"croze.css": "text/css", "croze.js": "text/javascript", "icon.svg": "image/svg+xml"} {
		first := h.get("/static/" + name)
		tag := first.header.Get("ETag")
		if first.status != http.StatusOK || !strings.HasPrefix(first.header.Get("Content-Type"), kind) || len(tag) < 10 {
			t.Errorf("%s: status %d, %q, ETag %q", name, first.status, first.header.Get("Content-Type"), tag)
		}
		again := h.get("/static/"+name, "If-None-Match", tag)
		if again.status != http.StatusNotModified || again.body != "" {
			t.Errorf("%s asked again: status %d with %d bytes", name, again.status, len(again.body))
		}
		if changed := h.get("/static/"+name, "If-None-Match", `"0000000000000000"`); changed.status != http.StatusOK {
			t.Errorf("%s asked with another ETag: status %d", name, changed.status)
		}
	}
	if a := h.get("/static/croze.css", "Accept-Encoding", "gzip"); a.header.Get("Content-Encoding") != "gzip" {
		t.Errorf("looks are sent as %q to who takes gzip", a.header.Get("Content-Encoding"))
	}
}
