package server_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/server"
)

const password = "a dry cellar in autumn"

// lockedHouse has a password.
func lockedHouse(t *testing.T) house {
	t.Helper()
	h := smallHouse(t)
	must(t, server.SetPassword(h.kept, password))
	return h
}

// signIn returns the cookie of whoever gives the right password.
func (h house) signIn() string {
	h.t.Helper()
	a := h.post("/sign-in", []string{"password", password})
	if a.status != http.StatusSeeOther {
		h.t.Fatalf("the right password: status %d", a.status)
	}
	cookie, _, _ := strings.Cut(a.header.Get("Set-Cookie"), ";")
	return cookie
}

func TestALockedHouse(t *testing.T) {
	h := lockedHouse(t)
	for address, want := range map[string]string{
		"/":                "/sign-in?next=%2F",
		"/v/RYE-1?on=2026": "/sign-in?next=%2Fv%2FRYE-1%3Fon%3D2026",
		"/book/export":     "/sign-in?next=%2Fbook%2Fexport",
	} {
		a := h.get(address)
		if a.status != http.StatusSeeOther || a.header.Get("Location") != want || strings.Contains(a.body, rye) {
			t.Errorf("%s: status %d, to %q", address, a.status, a.header.Get("Location"))
		}
	}
	for _, address := range []string{"/api/stock", "/api/forecast?at=2027-01-01"} {
		if a := h.get(address); a.status != http.StatusUnauthorized || a.body != `{"error":"sign in first","kind":"refused"}` {
			t.Errorf("%s: status %d: %s", address, a.status, a.body)
		}
	}
	write := h.unchanged("a write", func() answer { return h.post("/v/RYE-1/log/draw", []string{"volume_l", "1"}) })
	if write.header.Get("Location") != "/sign-in?next=%2F" {
		t.Errorf("a write leads to %q", write.header.Get("Location"))
	}
	if a := h.get("/static/croze.css"); a.status != http.StatusOK {
		t.Errorf("the sign-in page has no looks: status %d", a.status)
	}
	cookie := h.signIn()
	if a := h.get("/v/RYE-1", "Cookie", cookie); a.status != http.StatusOK || !strings.Contains(a.body, "Sign out") {
		t.Errorf("signed in: status %d", a.status)
	}
	if a := h.get("/v/RYE-1", "Cookie", cookie+"x"); a.status != http.StatusSeeOther {
		t.Errorf("another cookie: status %d", a.status)
	}
	h.post("/sign-out", nil, "Cookie", cookie)
	if a := h.get("/v/RYE-1", "Cookie", cookie); a.status != http.StatusSeeOther {
		t.Errorf("signed out: status %d", a.status)
	}
}

// TestASessionEnds: after a week without use; in use after a month.
func TestASessionEnds(t *testing.T) {
	h := lockedHouse(t)
	left, used := h.signIn(), h.signIn()
	for days := 6; days <= 30; days += 6 {
		*h.now = today.AddDate(0, 0, days)
		want := http.StatusOK
		if days == 30 {
			want = http.StatusSeeOther
		}
		if a := h.get("/", "Cookie", used); a.status != want {
			t.Errorf("in use on day %d: status %d", days, a.status)
		}
		if days < 7 {
			continue // not before its time
		}
		if a := h.get("/", "Cookie", left); a.status != http.StatusSeeOther {
			t.Errorf("not used until day %d: status %d", days, a.status)
		}
	}
}

func TestTheCookie(t *testing.T) {
	h := lockedHouse(t)
	cookie := h.post("/sign-in", []string{"password", password}).header.Get("Set-Cookie")
	for _, flag := range []string{"croze_session=", "; path=/", "HttpOnly", "SameSite=Lax", "expires="} {
		if !strings.Contains(cookie, flag) {
			t.Errorf("the cookie %q lacks %s", cookie, flag)
		}
	}
	if strings.Contains(cookie, password) {
		t.Error("the cookie holds the password")
	}
	value := strings.TrimPrefix(strings.Split(cookie, ";")[0], "croze_session=")
	if len(value) != 43 { // 32 random bytes in base64
		t.Errorf("the cookie's value has %d characters", len(value))
	}
}

func TestTheNextPageIsOfThisHouse(t *testing.T) {
	h := lockedHouse(t)
	for next, want := range map[string]string{
		"/v/RYE-1?on=2026-01-01":    "/v/RYE-1?on=2026-01-01",
		"":                          "/",
		"//elsewhere.example/":      "/",
		"/\\elsewhere.example":      "/",
		"https://elsewhere.example": "/",
		"javascript:alert(1)":       "/",
		"/\r\nSet-Cookie: a=b":      "/",
		"/\t/elsewhere.example":     "/",
	} {
		a := h.post("/sign-in", []string{"password", password, "next", next})
		if a.header.Get("Location") != want {
			t.Errorf("next %q leads to %q, want %q", next, a.header.Get("Location"), want)
		}
	}
}

func TestWrongPasswords(t *testing.T) {
	h := lockedHouse(t)
	for i := range 10 {
		a := h.post("/sign-in", []string{"password", "a wet cellar in spring", "next", "/book"})
		if a.status != http.StatusUnauthorized || a.header.Get("Set-Cookie") != "" || !a.says("That is not the password.") {
			t.Fatalf("try %d: status %d", i+1, a.status)
		}
		if strings.Contains(a.body, "a wet cellar") || !strings.Contains(a.body, `value="/book"`) {
			t.Error("the password is shown again, or the way on is lost")
		}
	}
	a := h.post("/sign-in", []string{"password", password})
	if a.status != http.StatusTooManyRequests || a.header.Get("Set-Cookie") != "" || !a.says("Wait a quarter of an hour") {
		t.Errorf("after ten wrong tries: status %d", a.status)
	}
	*h.now = today.Add(16 * time.Minute)
	h.signIn()
}

func TestPasswordsOfTheRightLength(t *testing.T) {
	h := smallHouse(t)
	for _, bad := range []string{"", "short", strings.Repeat("x", 201)} {
		if err := server.SetPassword(h.kept, bad); err == nil || !strings.Contains(err.Error(), "10 to 200 characters") {
			t.Errorf("a password of %d characters: %v", len(bad), err)
		}
	}
	if set, err := server.HasPassword(h.kept); set || err != nil {
		t.Errorf("one is set: %v, %v", set, err)
	}
}

func TestCommonPasswordsAreRefused(t *testing.T) {
	h := smallHouse(t)
	for word, reason := range map[string]string{"Strawberry-1987": "tried first", "ada.croze.2026": "a name that everybody here knows"} {
		a := h.post("/people", []string{"name", "Ada", "role", "owner", "password", word})
		if a.status != http.StatusUnprocessableEntity || !a.says(reason) || a.says(word) {
			t.Errorf("%q: status %d: %s", word, a.status, problemOf(a))
		}
	}
}

var passwordField = regexp.MustCompile(`<input[^>]*(?:name="password"|name="old"|type="password")[^>]*>`)

// TestPasswordFields are hidden, are filled in by a password manager, and cut
// nothing off.
func TestPasswordFields(t *testing.T) {
	s := staffedHouse(t)
	found := 0
	for _, path := range []string{"/sign-in", "/people", "/people/me"} {
		for _, field := range passwordField.FindAllString(s.get(path, "Cookie", s.owner).body, -1) {
			found++
			managed := strings.Contains(field, `autocomplete="current-password"`) || strings.Contains(field, `autocomplete="new-password"`)
			if !managed || !strings.Contains(field, `type="password"`) || strings.Contains(field, "maxlength") || strings.Contains(field, "pattern") || strings.Contains(field, "value") {
				t.Errorf("%s has the field %s", path, field)
			}
		}
	}
	if found < 8 {
		t.Errorf("only %d fields were found", found)
	}
}
