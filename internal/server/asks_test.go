package server_test

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"example.org/croze/web"
)

// TestNoOtherOriginIsLetRead: no answer tells a browser that a page of
// elsewhere may read it, whatever that page says it is.
func TestNoOtherOriginIsLetRead(t *testing.T) {
	s := staffedHouse(t)
	for _, route := range s.app.GetRoutes(true) {
		path := parameter.ReplaceAllString(route.Path, "x")
		for _, origin := range []string{"https://elsewhere.example", "null", "http://example.com"} {
			for _, method := range []string{route.Method, http.MethodOptions} {
				r := httptest.NewRequest(method, path, nil)
				a := s.do(r, "Origin", origin, "Access-Control-Request-Method", "POST", "Access-Control-Request-Headers", "content-type", "Cookie", s.reader)
				for name := range a.header {
					if strings.HasPrefix(name, "Access-Control-") {
						t.Errorf("%s %s: %s: %s", method, path, name, a.header.Get(name))
					}
				}
			}
		}
	}
}

// TestLookingWritesNothing: every page that the owner can be led to leaves the
// journal as it is.
func TestLookingWritesNothing(t *testing.T) {
	s := lively(t)
	before := s.head()
	s.walk(s.owner, func(address string, _ answer) {
		if after := s.head(); after != before {
			t.Errorf("%s: the journal went from %s to %s", address, before, after)
			before = after
		}
	})
}

// TestEveryAnswerSaysWhatItIs: a type on everything that has a body, and the
// encoding on every text.
func TestEveryAnswerSaysWhatItIs(t *testing.T) {
	s := lively(t)
	text := regexp.MustCompile(`^(text/|application/json|image/svg)`)
	s.walk(s.owner, func(address string, a answer) {
		kind := a.header.Get("Content-Type")
		if a.body != "" && kind == "" {
			t.Errorf("%s has no type", address)
		}
		if strings.HasPrefix(kind, "text/") && !strings.Contains(strings.ToLower(kind), "charset=utf-8") {
			t.Errorf("%s is of the type %q, without its encoding", address, kind)
		}
		if !text.MatchString(kind) && strings.Contains(a.body, "<html") {
			t.Errorf("%s is a page of the type %q", address, kind)
		}
	})
}

// TestScriptsMakeNothingOutOfText: the pages' scripts neither run text nor put
// it into a page as markup.
func TestScriptsMakeNothingOutOfText(t *testing.T) {
	dangerous := regexp.MustCompile(`\beval\s*\(|new\s+Function\b|\.innerHTML|\.outerHTML|insertAdjacentHTML|document\.write|createContextualFragment|setTimeout\(\s*["'` + "`" + `]|\bjavascript:`)
	scripts, err := web.Static.ReadDir("static")
	must(t, err)
	read := 0
	for _, file := range scripts {
		if !strings.HasSuffix(file.Name(), ".js") {
			continue
		}
		data, err := web.Static.ReadFile("static/" + file.Name())
		must(t, err)
		read++
		if found := dangerous.Find(data); found != nil {
			t.Errorf("%s has %q", file.Name(), found)
		}
	}
	if read < 5 {
		t.Errorf("only %d scripts are read", read)
	}
}

// TestUnknownNamesAreAnsweredAlike: signing in does not say who has an account,
// and signing out clears what browsers keep.
func TestUnknownNamesAreAnsweredAlike(t *testing.T) {
	s := staffedHouse(t)
	known := s.post("/sign-in", []string{"name", "Ada", "password", "not the password"})
	unknown := s.post("/sign-in", []string{"name", "Eve", "password", "not the password"})
	if known.status != http.StatusUnauthorized || unknown.status != known.status || strings.ReplaceAll(unknown.body, "Eve", "Ada") != known.body {
		t.Errorf("status %d and %d, or other words", known.status, unknown.status)
	}
	if a := s.post("/sign-out", nil, "Cookie", s.hand); a.header.Get("Clear-Site-Data") != `"cache"` {
		t.Errorf("signing out: status %d, %v", a.status, a.header)
	}
	if a := s.get("/vessels", "Cookie", s.hand); a.status != http.StatusSeeOther {
		t.Errorf("after signing out: status %d", a.status)
	}
}
