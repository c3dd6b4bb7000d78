package server_test

import (
	"bytes"
	"errors"
	"log/slog"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/people"
	"example.org/croze/internal/server"
)

// diary is a log that tests read.
type diary struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (d *diary) Write(p []byte) (int, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.text.Write(p)
}

func (d *diary) all() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.text.String()
}

func (d *diary) log() *slog.Logger {
	return slog.New(slog.NewTextHandler(d, &slog.HandlerOptions{Level: slog.LevelDebug}))
}

// has expects lines with a level, what happened and an account.
func (d *diary) has(t *testing.T, level, what, account string, times int) {
	t.Helper()
	line := regexp.MustCompile(`(?m)^.*level=` + level + ` msg="?` + what + `"? request=[A-Z2-7]{12} address=\S+ account="?` + account + `"?$`)
	if n := len(line.FindAllString(d.all(), -1)); n != times {
		t.Errorf("%q of %q is logged %d times, not %d:\n%s", what, account, n, times, d.all())
	}
}

// holdsNone expects none of some secrets in the log.
func (d *diary) holdsNone(t *testing.T, secrets ...string) {
	t.Helper()
	if d.all() == "" {
		t.Error("nothing was logged")
	}
	for _, secret := range secrets {
		if len(secret) < 8 || strings.Contains(d.all(), secret) || strings.Contains(d.all(), url.PathEscape(secret)) || strings.Contains(d.all(), url.QueryEscape(secret)) {
			t.Errorf("the log holds %q:\n%s", secret, d.all())
		}
	}
}

// TestSignInsAreLoggedWithoutSecrets signs in, fails, and goes on with a session
// and a token.
func TestSignInsAreLoggedWithoutSecrets(t *testing.T) {
	s, d := staffedHouse(t), new(diary)
	s.house = s.servedWith(server.Options{Log: d.log()})
	const wrong, another, slip = "a wet cellar in spring", "another word for it", "my other password"
	s.post("/sign-in", []string{"name", "bo", "password", wrong})
	s.post("/sign-in", []string{"name", slip, "password", wrong}) // typed into the field of the name
	in := s.post("/sign-in?next=/"+url.PathEscape(wrong), []string{"name", "Bo", "password", password})
	cookie, _, _ := strings.Cut(in.header.Get("Set-Cookie"), ";")
	s.post("/people/me/password", []string{"old", wrong, "password", another}, "Cookie", cookie)
	shown := s.post("/people/me/tokens", []string{"label", "scale", "scope", "hand", "days", "30"}, "Cookie", cookie)
	token := shownToken.FindString(shown.body)
	for _, bearer := range []string{token, token + "x"} {
		s.get("/api/stock?secret="+url.QueryEscape(another), "Authorization", "Bearer "+bearer)
	}
	s.post("/people/me/password", []string{"old", password, "password", another}, "Cookie", cookie)
	for range 11 {
		s.post("/sign-in", []string{"name", "Uli", "password", wrong})
	}
	d.has(t, "WARN", "wrong sign-in", "Bo", 1)
	d.has(t, "WARN", "wrong sign-in", "", 1)
	d.has(t, "INFO", "signed in", "Bo", 1)
	d.has(t, "WARN", "wrong old password", "Bo", 1)
	d.has(t, "WARN", "wrong token", "", 1)
	d.has(t, "WARN", "wrong sign-in", "Uli", 7) // with three of before: ten of this address
	d.has(t, "WARN", "sign-in held back", "Uli", 4)
	_, value, _ := strings.Cut(cookie, "=")
	d.holdsNone(t, password, wrong, another, slip, token, strings.TrimPrefix(token, "croze_"), value)
}

func TestSettingUpIsLoggedWithoutSecrets(t *testing.T) {
	h, d := smallHouse(t), new(diary)
	all := people.Open(h.kept, func() time.Time { return *h.now })
	code := all.OfferSetup()
	h = h.servedWith(server.Options{Log: d.log(), People: all})
	const wrong = "AAAA-BBBB-CCCC-DDDD"
	h.post("/set-up", []string{"code", wrong, "name", "Ada", "password", password})
	in := h.post("/set-up", []string{"code", code, "name", " Ada", "password", password})
	if in.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", in.status, problemOf(in))
	}
	cookie, _, _ := strings.Cut(in.header.Get("Set-Cookie"), ";")
	_, value, _ := strings.Cut(cookie, "=")
	d.has(t, "WARN", "set-up refused", "", 1)
	d.has(t, "INFO", "set up", "Ada", 1)
	d.holdsNone(t, password, code, strings.ReplaceAll(code, "-", ""), wrong, value)
}

// broken is a journal that cannot read one of its asides.
type broken struct {
	*journal.Memory
	key string
}

func (b broken) Get(key string) ([]byte, error) {
	if key == b.key {
		return nil, errors.New("the disk is broken")
	}
	return b.Memory.Get(key)
}

// TestTheCalendarsAddressIsNotLogged: it is a secret, and faults are logged with
// the path on which they happened.
func TestTheCalendarsAddressIsNotLogged(t *testing.T) {
	b, err := book.Open(broken{journal.NewMemory(), "calendar"}, book.Edge{Now: func() time.Time { return today }, NewID: ids(1)})
	must(t, err)
	d := new(diary)
	h := house{t: t, book: b}.servedWith(server.Options{Log: d.log()})
	const secret = "q8Zr0vW3bX5nT7yK1mP4sD6f"
	for _, path := range []string{"/calendar/", "/CALENDAR/"} {
		if a := h.get(path + secret + ".ics"); a.status != http.StatusInternalServerError {
			t.Errorf("status %d", a.status)
		}
	}
	if n := strings.Count(d.all(), "request failed"); n != 2 || !strings.Contains(strings.ToLower(d.all()), "path=/calendar/…") {
		t.Errorf("%d faults are logged:\n%s", n, d.all())
	}
	d.holdsNone(t, secret)
}
