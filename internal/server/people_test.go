package server_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/people"
)

// staff are the accounts of a staffed house, with their cookies.
type staff struct {
	house
	owner, keeper, hand, reader string
	all                         *people.House
}

// peopleKey is where accounts are kept beside the journal.
const peopleKey = "people"

// theStaff are made and signed in once for all tests: passwords take a while.
var theStaff = sync.OnceValues(func() (kept []byte, err error) {
	j := journal.NewMemory()
	all := people.Open(j, func() time.Time { return today })
	for _, one := range []struct {
		name   string
		role   people.Role
		cookie *string
	}{
		{"Ada", people.Owner, &staffCookies.owner}, {"Ines", people.Keeper, &staffCookies.keeper},
		{"Bo", people.Hand, &staffCookies.hand}, {"Uli", people.Reader, &staffCookies.reader},
	} {
		if err := all.Add(one.name, one.role, password); err != nil {
			return nil, err
		}
		secret, err := all.SignIn(one.name, password, "192.0.2.1", "a browser")
		if err != nil {
			return nil, err
		}
		*one.cookie = "croze_session=" + secret
	}
	return j.Get(peopleKey)
})

// staffCookies are theirs, once theStaff has made them.
var staffCookies struct{ owner, keeper, hand, reader string }

func staffedHouse(t *testing.T) staff {
	t.Helper()
	h := smallHouse(t)
	kept, err := theStaff()
	must(t, err)
	must(t, h.kept.Put(peopleKey, kept))
	return staff{
		house: h, owner: staffCookies.owner, keeper: staffCookies.keeper, hand: staffCookies.hand, reader: staffCookies.reader,
		all: people.Open(h.kept, func() time.Time { return *h.now }),
	}
}

// lastWho is who wrote the last entry.
func (h house) lastWho() (who string) {
	must(h.t, h.book.Glance(book.Moment{}, func(v *book.View) error {
		who = v.Entries[len(v.Entries)-1].Who
		return nil
	}))
	return who
}

// TestWhatEachMayDo asks, as everybody, for everything that asks for a role.
func TestWhatEachMayDo(t *testing.T) {
	s := staffedHouse(t)
	entry := s.record(cellar.Request{When: today.Add(-time.Hour), Entry: "note", Vessel: rye, Note: "of the keeper"})
	for _, one := range []struct {
		method, path string
		least        people.Role
		fields       []string
	}{
		{"GET", "/vessels", people.Reader, nil},
		{"GET", "/v/RYE-1", people.Reader, nil},
		{"GET", "/people/me", people.Reader, nil},
		{"POST", "/bench/plan", people.Reader, nil},
		{"POST", "/v/RYE-1/log/note", people.Hand, []string{"note", "seen"}},
		{"POST", "/V/RYE-1/LOG/note/", people.Hand, []string{"note", "seen"}},
		{"POST", "/rounds", people.Hand, nil},
		{"POST", "/v/RYE-1/log/void", people.Keeper, []string{"void", entry.ID}},
		{"POST", "/v/RYE-1/log/close", people.Keeper, nil},
		{"GET", "/book/export", people.Keeper, nil},
		{"POST", "/book/" + entry.ID + "/undo", people.Keeper, nil},
		{"POST", "/vessels/new", people.Keeper, nil},
		{"POST", "/book/backups", people.Keeper, nil},
		{"POST", "/an/address/of/later", people.Keeper, nil},
		{"GET", "/people", people.Owner, nil},
		{"GET", "/PEOPLE/", people.Owner, nil},
		{"POST", "/people", people.Owner, nil},
		{"POST", "/book/limits", people.Owner, []string{"kind", "cask", "pct_per_year", "200"}},
		{"POST", "/Book/Limits//", people.Owner, []string{"kind", "cask", "pct_per_year", "200"}},
		{"GET", "/book/export//", people.Keeper, nil},
		{"GET", "/book/backups///", people.Keeper, nil},
		{"POST", "/people/role", people.Owner, nil},
		{"POST", "/People/Remove", people.Owner, nil},
	} {
		for role, cookie := range map[people.Role]string{people.Owner: s.owner, people.Keeper: s.keeper, people.Hand: s.hand, people.Reader: s.reader} {
			var a answer
			if one.method == "GET" {
				a = s.get(one.path, "Cookie", cookie)
			} else {
				a = s.post(one.path, one.fields, "Cookie", cookie)
			}
			if may := role.May(one.least); may != (a.status != http.StatusForbidden) {
				t.Errorf("%s %s as %s: status %d", one.method, one.path, role, a.status)
			}
		}
	}
}

func TestKindsThatAHandMayNotWrite(t *testing.T) {
	s := staffedHouse(t)
	mine := s.post("/v/RYE-1/log/note", []string{"note", "mine"}, "Cookie", s.hand)
	if mine.status != http.StatusSeeOther || s.lastWho() != "Bo" {
		t.Fatalf("a note: status %d, by %s", mine.status, s.lastWho())
	}
	id := regexp.MustCompile(`undo=([0-9A-Z]{26})`).FindStringSubmatch(mine.header.Get("Location"))[1]
	for _, kind := range []string{"void", "close", "limit", "explain", "value", "cost", "rhythm", "round", "vessel", ""} {
		r := httptest.NewRequest(http.MethodPost, "/api/entries", strings.NewReader(fmt.Sprintf(`{"entry":%q,"void":%q,"vessel":"RYE-1"}`, kind, id)))
		r.Header.Set("Content-Type", "application/json")
		if a := s.unchanged(kind, func() answer { return s.do(r, "Cookie", s.hand) }); a.status != http.StatusForbidden {
			t.Errorf("%q: status %d", kind, a.status)
		}
	}
	if a := s.post("/book/"+id+"/undo", nil, "Cookie", s.hand); a.status != http.StatusSeeOther {
		t.Errorf("their own entry: status %d", a.status)
	}
}

// TestWhatAnotherWroteDown is asked about: it waited on a device where somebody
// else signed in.
func TestWhatAnotherWroteDown(t *testing.T) {
	s := staffedHouse(t)
	send := func(by, sure string) answer {
		r := httptest.NewRequest(http.MethodPost, "/api/entries", strings.NewReader(`{"entry":"note","vessel":"RYE-1","note":"seen"`+sure+`}`))
		r.Header.Set("Content-Type", "application/json")
		return s.do(r, "Cookie", s.hand, "X-Made-By", by)
	}
	if a := s.unchanged("of another", func() answer { return send("Ines%20", "") }); a.status != http.StatusUnprocessableEntity || !a.says(`"field":"who"`) || !a.says("Ines wrote this down") {
		t.Errorf("status %d: %s", a.status, a.body)
	}
	for what, a := range map[string]answer{"one's own": send("BO", ""), "of nobody in particular": send("", ""), "taken over": send("Ines", `,"sure":true`)} {
		if a.status != http.StatusCreated || s.lastWho() != "Bo" {
			t.Errorf("%s: status %d, by %s", what, a.status, s.lastWho())
		}
	}
}

func TestAnAccountFromTheFirstPage(t *testing.T) {
	h := smallHouse(t)
	if a := h.get("/people"); a.status != http.StatusOK || !a.says("Nobody has an account") {
		t.Fatalf("status %d", a.status)
	}
	if a := h.post("/people", []string{"name", "Ada", "role", "owner", "password", password}); a.status != http.StatusSeeOther {
		t.Fatalf("the first account: status %d: %s", a.status, a.body)
	}
	if a := h.get("/vessels"); a.status != http.StatusSeeOther {
		t.Errorf("without signing in: status %d", a.status)
	}
	a := h.post("/sign-in", []string{"name", "ada", "password", password})
	cookie, _, _ := strings.Cut(a.header.Get("Set-Cookie"), ";")
	if a := h.post("/people", []string{"name", "<b>Bo</b>", "role", "hand", "password", password}, "Cookie", cookie); a.status != http.StatusSeeOther {
		t.Errorf("one more: status %d", a.status)
	}
	if a := h.get("/people", "Cookie", cookie); strings.Contains(a.body, "<b>Bo") || !a.says("Ada") {
		t.Error("a name is not escaped")
	}
	if a := h.post("/people", []string{"name", "Ada", "role", "hand", "password", password}, "Cookie", cookie); a.status != http.StatusUnprocessableEntity || !a.says("somebody goes by this already") {
		t.Errorf("twice: status %d", a.status)
	}
	if a := h.post("/people/role", []string{"name", "Ada", "role", "reader"}, "Cookie", cookie); !a.says("somebody must stay owner") {
		t.Errorf("the last owner: status %d", a.status)
	}
}

var shownToken = regexp.MustCompile(`croze_[A-Za-z0-9_-]{43}`)

func TestTokensOfThePages(t *testing.T) {
	s := staffedHouse(t)
	a := s.post("/people/me/tokens", []string{"label", "scale", "scope", "hand", "days", "30"}, "Cookie", s.keeper)
	token := shownToken.FindString(a.body)
	if token == "" {
		t.Fatalf("no token is shown: status %d", a.status)
	}
	if again := s.get("/people/me", "Cookie", s.keeper); shownToken.MatchString(again.body) || !again.says("scale") {
		t.Error("the token is shown again, or not listed")
	}
	bearer := []string{"Authorization", "Bearer " + token}
	if a := s.get("/api/stock", bearer...); a.status != http.StatusOK {
		t.Errorf("reading with a token: status %d", a.status)
	}
	if a := s.post("/v/RYE-1/log/note", []string{"note", "by the scale"}, bearer...); a.status != http.StatusSeeOther || s.lastWho() != "Ines" {
		t.Errorf("writing with a token: status %d, by %s", a.status, s.lastWho())
	}
	for _, path := range []string{"/people/me", "/people", "/book/export"} { // no scope of a hand has these
		if a := s.get(path, bearer...); a.status != http.StatusForbidden {
			t.Errorf("%s with a token: status %d", path, a.status)
		}
	}
	if a := s.get("/metrics", bearer...); a.status != http.StatusOK || !strings.Contains(a.body, "croze_journal_entries ") {
		t.Errorf("the measures with a token: status %d", a.status)
	}
	for _, header := range []string{"Bearer croze_x", "Bearer ", "Basic YTpi", token} {
		if a := s.get("/api/stock", "Authorization", header, "Cookie", s.owner); a.status != http.StatusUnauthorized {
			t.Errorf("%q: status %d", header, a.status)
		}
	}
	*s.now = today.Add(30 * 24 * time.Hour)
	if a := s.get("/api/stock", bearer...); a.status != http.StatusUnauthorized {
		t.Errorf("after its end: status %d", a.status)
	}
}

func TestSessionsAreListedAndEnded(t *testing.T) {
	s := staffedHouse(t)
	secret, err := s.all.SignIn("Bo", password, "192.0.2.9", "<i>a phone</i>")
	must(t, err)
	page := s.get("/people/me", "Cookie", s.hand)
	if !page.says("(this one)") || strings.Contains(page.body, "<i>a phone") {
		t.Error("the sessions are not as they should be")
	}
	list, err := s.all.Sessions("Bo")
	must(t, err)
	s.post("/people/me/sessions", []string{"session", list[0].ID()}, "Cookie", s.owner) // not hers
	if a := s.get("/vessels", "Cookie", "croze_session="+secret); a.status != http.StatusOK {
		t.Error("somebody else ended a session")
	}
	s.post("/people/me/sessions", []string{"session", list[0].ID()}, "Cookie", s.hand)
	if a := s.get("/vessels", "Cookie", "croze_session="+secret); a.status != http.StatusSeeOther {
		t.Error("the session that was ended goes on")
	}
	if a := s.post("/people/me/password", []string{"old", "not the old one", "password", "another word for it"}, "Cookie", s.hand); !a.says("not the name and password") {
		t.Errorf("without the old password: status %d", a.status)
	}
	s.post("/people/me/password", []string{"old", password, "password", "another word for it"}, "Cookie", s.hand)
	if a := s.get("/vessels", "Cookie", s.hand); a.status != http.StatusSeeOther {
		t.Error("a session outlives its password")
	}
}
