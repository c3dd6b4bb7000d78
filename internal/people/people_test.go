package people_test

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/argon2"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/people"
)

const password = "a dry cellar in autumn"

var today = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

// home is a store's people with a clock that tests set.
type home struct {
	*people.House
	t    *testing.T
	kept *journal.Memory
	now  *time.Time
}

func newHome(t *testing.T) home {
	h := home{t: t, kept: journal.NewMemory(), now: new(time.Time)}
	*h.now = today
	h.reopen()
	return h
}

// reopen is what a restart of the program does.
func (h *home) reopen() {
	h.House = people.Open(h.kept, func() time.Time { return *h.now })
}

func (h home) must(err error) {
	h.t.Helper()
	if err != nil {
		h.t.Fatal(err)
	}
}

// staffed has an account of every role.
func staffed(t *testing.T) home {
	h := newHome(t)
	h.must(h.Add("Ada", people.Owner, password))
	h.must(h.Add("Ines", people.Keeper, password+" 2"))
	h.must(h.Add("Bo", people.Hand, password+" 3"))
	return h
}

func (h home) signIn(name, word, address string) string {
	h.t.Helper()
	secret, err := h.SignIn(name, word, address, "a browser")
	h.must(err)
	return secret
}

func TestRolesInTheirOrder(t *testing.T) {
	for i, a := range people.Roles() {
		for j, b := range people.Roles() {
			if a.May(b) != (i >= j) {
				t.Errorf("%s may what asks for %s: %v", a, b, a.May(b))
			}
		}
		if a.May("") || a.May("king") || people.Role("").May(a) || people.Role("king").May(a) {
			t.Errorf("%s and a role that is not known", a)
		}
	}
}

func TestWhatIsKeptOpensNothing(t *testing.T) {
	h := staffed(t)
	session := h.signIn("ada", password, "192.0.2.1")
	token, err := h.MakeToken("Ada", "scale", people.Hand, time.Hour)
	h.must(err)
	kept, err := h.kept.Get("people")
	h.must(err)
	for _, secret := range []string{password, session, token, strings.TrimPrefix(token, "croze_")} {
		if bytes.Contains(kept, []byte(secret)) {
			t.Errorf("%q is kept as it is", secret)
		}
	}
}

func TestSessionsOutliveARestartAndEnd(t *testing.T) {
	h := staffed(t)
	secret := h.signIn("ada", password, "192.0.2.1")
	h.reopen()
	p, known, err := h.Who(secret)
	if err != nil || !known || p.Name != "Ada" || p.Role != people.Owner {
		t.Fatalf("after a restart: %+v, %v, %v", p, known, err)
	}
	if _, known, _ := h.Who(secret + "x"); known {
		t.Error("another secret is known")
	}
	other := h.signIn("Ada", password, "192.0.2.2")
	h.must(h.EndSession("Bo", p.Session)) // not his
	if _, known, _ := h.Who(secret); !known {
		t.Error("Bo ended a session of Ada")
	}
	h.must(h.EndSession("Ada", p.Session))
	if _, known, _ := h.Who(secret); known {
		t.Error("the session that was ended is known")
	}
	h.must(h.SetPassword("Ada", "another word for it"))
	if _, known, _ := h.Who(other); known {
		t.Error("a session outlives its password")
	}
}

func TestSessionsOfAnAccountAreBounded(t *testing.T) {
	h := staffed(t)
	first := h.signIn("Ada", password, "192.0.2.1")
	for range 20 {
		h.signIn("Ada", password, "192.0.2.1")
	}
	if list, err := h.Sessions("ada"); err != nil || len(list) != 20 {
		t.Errorf("%d sessions, %v", len(list), err)
	}
	if _, known, _ := h.Who(first); known {
		t.Error("the oldest is still there")
	}
}

func TestOneCannotLockOutAnother(t *testing.T) {
	h := staffed(t)
	h.signIn("Ada", password, "192.0.2.1")
	for i := range 10 {
		if _, err := h.SignIn("Ada", "a guess at a word", "198.51.100.7", ""); !errors.Is(err, people.ErrWrong) {
			t.Fatalf("guess %d: %v", i, err)
		}
	}
	if _, err := h.SignIn("Ada", password, "198.51.100.7", ""); !errors.Is(err, people.ErrWait) {
		t.Errorf("the address is not held back: %v", err)
	}
	for i := range 40 { // from many addresses
		if _, err := h.SignIn("Ada", "a guess at a word", fmt.Sprint("203.0.113.", i), ""); !errors.Is(err, people.ErrWrong) {
			t.Fatalf("stranger %d: %v", i, err)
		}
	}
	if _, err := h.SignIn("ADA", password, "203.0.113.200", ""); !errors.Is(err, people.ErrWait) {
		t.Errorf("strangers may go on guessing: %v", err)
	}
	h.signIn("Ada", password, "192.0.2.1") // where she has signed in before
	h.signIn("Bo", password+" 3", "203.0.113.200")
	*h.now = today.Add(16 * time.Minute)
	h.signIn("Ada", password, "198.51.100.7")
}

func TestTokens(t *testing.T) {
	h := staffed(t)
	for _, bad := range []struct {
		name  string
		scope people.Role
		lasts time.Duration
	}{{"Bo", people.Keeper, time.Hour}, {"Ada", people.Owner, time.Hour}, {"Ada", "king", time.Hour}, {"Bo", people.Hand, 0}, {"Bo", people.Hand, 400 * 24 * time.Hour}, {"Nobody", people.Hand, time.Hour}} {
		if secret, err := h.MakeToken(bad.name, "scale", bad.scope, bad.lasts); err == nil || secret != "" && cellar.KindOf(err) == "" {
			t.Errorf("%+v: a token is made, %v", bad, err)
		}
	}
	secret, err := h.MakeToken("Ines", "scale", people.Keeper, 24*time.Hour)
	h.must(err)
	h.reopen()
	if p, known, err := h.Bearer(secret); err != nil || !known || p.Name != "Ines" || p.Role != people.Keeper || p.Token == "" {
		t.Errorf("%+v, %v, %v", p, known, err)
	}
	if _, known, _ := h.Who(secret); known {
		t.Error("a token is a session")
	}
	h.must(h.SetRole("Ines", people.Reader))
	if p, _, _ := h.Bearer(secret); p.Role != people.Reader {
		t.Errorf("a token may more than its account: %s", p.Role)
	}
	*h.now = today.Add(24 * time.Hour)
	if _, known, _ := h.Bearer(secret); known {
		t.Error("a token has no end")
	}
	*h.now = today
	list, err := h.Tokens("Ines")
	h.must(err)
	h.must(h.EndToken("Ada", list[0].ID())) // not hers
	if _, known, _ := h.Bearer(secret); !known {
		t.Error("Ada ended a token of Ines")
	}
	h.must(h.EndToken("Ines", list[0].ID()))
	if _, known, _ := h.Bearer(secret); known {
		t.Error("a token that was ended is known")
	}
}

func TestSomebodyStaysOwner(t *testing.T) {
	h := newHome(t)
	if err := h.Add("Bo", people.Hand, password); cellar.KindOf(err) != cellar.Refused {
		t.Errorf("the first is a hand: %v", err)
	}
	h.must(h.Add("Ada", people.Owner, password))
	for what, err := range map[string]error{
		"lowered": h.SetRole("Ada", people.Keeper), "removed": h.Remove("ada"), "twice": h.Add("ADA", people.Hand, password),
	} {
		if cellar.KindOf(err) != cellar.Refused {
			t.Errorf("%s: %v", what, err)
		}
	}
	h.must(h.Add("Ines", people.Owner, password))
	secret := h.signIn("Ada", password, "192.0.2.1")
	h.must(h.Remove("Ada"))
	if _, known, _ := h.Who(secret); known {
		t.Error("a session outlives its account")
	}
}

func TestSetUpByTheCode(t *testing.T) {
	h := newHome(t)
	if _, err := h.SetUp("", "Ada", password, "192.0.2.1", ""); cellar.KindOf(err) != cellar.Refused {
		t.Errorf("without an offer: %v", err)
	}
	code := h.OfferSetup()
	if _, err := h.SetUp("AAAA-BBBB-CCCC-DDDD", "Ada", password, "192.0.2.1", ""); cellar.KindOf(err) != cellar.Refused {
		t.Errorf("another code: %v", err)
	}
	if _, err := h.SetUp(code, "Ada", "short", "192.0.2.1", ""); cellar.KindOf(err) != cellar.Invalid {
		t.Errorf("a short password: %v", err)
	}
	secret, err := h.SetUp(strings.ToLower(code), "Ada", password, "192.0.2.1", "")
	h.must(err)
	if p, known, _ := h.Who(secret); !known || p.Role != people.Owner {
		t.Errorf("whoever set it up is %+v", p)
	}
	if _, err := h.SetUp(code, "Eve", password, "192.0.2.2", ""); cellar.KindOf(err) != cellar.Refused {
		t.Errorf("the code twice: %v", err)
	}
}

// TestThePasswordOfEarlierVersions is the owner's.
func TestThePasswordOfEarlierVersions(t *testing.T) {
	h := newHome(t)
	salt := []byte("sixteen of bytes")
	old, err := json.Marshal(map[string]any{
		"Time": 1, "MemoryKiB": 8 * 1024, "Threads": 1, "Salt": base64.StdEncoding.EncodeToString(salt),
		"Key": base64.StdEncoding.EncodeToString(argon2.IDKey([]byte(password), salt, 1, 8*1024, 1, 32)),
	})
	h.must(err)
	h.must(h.kept.Put("password", old))
	secret := h.signIn("", password, "192.0.2.1")
	if p, _, _ := h.Who(secret); p.Name != people.OwnerName || p.Role != people.Owner {
		t.Errorf("it opens the account of %+v", p)
	}
}
