package people

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"slices"
	"strings"
	"time"

	"example.org/croze/internal/cellar"
)

// How long a session is good for. One that is in use at its end, as on a round,
// goes on until it pauses.
const (
	SessionLasts = 30 * 24 * time.Hour
	SessionIdles = 7 * 24 * time.Hour // unused for so long, it ends
	SessionGrace = 12 * time.Hour     // at most so long after its end
	sessionPause = 2 * time.Hour      // after its end, unused for so long
	seenAgain    = time.Hour          // how old what is kept of its use may be
)

// mostSessions of one account; the oldest ends when there is one more.
const mostSessions = 20

// Session is one browser that is signed in.
type Session struct {
	Hash    string    `json:"hash"` // SHA-256 of the cookie, hex
	Account string    `json:"account"`
	Began   time.Time `json:"began"`
	Until   time.Time `json:"until"`
	Device  string    `json:"device,omitempty"` // what the browser said it is
	Seen    time.Time `json:"seen,omitzero"`    // last use, less than an hour before the true one
}

// LastUse is when it was last used, to the hour.
func (s Session) LastUse() time.Time {
	if s.Seen.IsZero() {
		return s.Began // kept by a version that did not look
	}
	return s.Seen
}

// over says whether a session has ended.
func (s Session) over(now time.Time) bool {
	unused := now.Sub(s.LastUse())
	if now.Before(s.Until) {
		return unused >= SessionIdles
	}
	return unused >= sessionPause || !now.Before(s.Until.Add(SessionGrace))
}

// ID names a session on pages without giving it away.
func (s Session) ID() string { return s.Hash[:16] }

// Person is whoever makes a request.
type Person struct {
	Name    string
	Role    Role
	Session string // ID of the session; "" for a token, and where nobody is asked
	Token   string // ID of the token; "" for a session
}

// SignIn gives a session to whoever knows an account's password. A blank name
// is the account, if there is only one. Wrong tries are answered with ErrWrong,
// too many of them with ErrWait, and right ones with ErrPasskeyToo where that is
// not all that is asked for.
func (h *House) SignIn(name, password, address, device string) (secret string, err error) {
	account, err := h.Prove(name, password, address)
	switch {
	case err != nil:
		return "", err
	case account.AskPasskey:
		return "", ErrPasskeyToo
	}
	return h.begin(account.Name, device)
}

// Prove finds the account that a name and password belong to. Wrong tries are
// counted, and answered as SignIn says.
func (h *House) Prove(name, password, address string) (account Account, err error) {
	err = h.see(func(b *book) {
		if name == "" && len(b.Accounts) == 1 {
			name = b.Accounts[0].Name
		}
		if a := b.find(name); a != nil {
			account = *a
		}
	})
	if err != nil {
		return Account{}, err
	}
	if !h.tries.may(name, address) {
		return Account{}, ErrWait
	}
	key := account.Password
	if key == nil {
		key = nobody
	}
	if !key.is(password) || account.Password == nil {
		h.tries.wrong(name, address)
		return Account{}, ErrWrong
	}
	if !account.AskPasskey { // else it is not over yet
		h.tries.right(name, address)
	}
	return account, nil
}

// begin makes a session for an account.
func (h *House) begin(name, device string) (secret string, err error) {
	secret, hash := newSecret()
	now := h.now()
	err = h.change(func(b *book) error {
		if b.find(name) == nil {
			return problem(cellar.NotFound, "name", name, "nobody has an account of this name")
		}
		b.makeRoom(name)
		b.Sessions = append(b.Sessions, Session{hash, name, now, now.Add(SessionLasts), short(device), now})
		return nil
	})
	return secret, err
}

func (b *book) makeRoom(name string) {
	mine := 0
	for _, s := range b.Sessions {
		if s.Account == name {
			mine++
		}
	}
	b.Sessions = slices.DeleteFunc(b.Sessions, func(s Session) bool {
		drop := s.Account == name && mine >= mostSessions
		if drop {
			mine--
		}
		return drop
	})
}

// short keeps what a browser says of itself to what fits on a line.
func short(device string) string {
	const most = 120
	device = strings.ToValidUTF8(device, "")
	if len(device) > most {
		device = strings.ToValidUTF8(device[:most], "")
	}
	return device
}

// Who finds the person of a session's secret.
func (h *House) Who(secret string) (p Person, known bool, err error) {
	if secret == "" {
		return p, false, nil
	}
	hash, now, old := hashOf(secret), h.now(), false
	err = h.see(func(b *book) {
		for _, s := range b.Sessions {
			if s.Hash == hash && !s.over(now) {
				if a := b.find(s.Account); a != nil {
					p, known = Person{Name: a.Name, Role: a.Role, Session: s.ID()}, true
					old = now.Sub(s.LastUse()) >= seenAgain
				}
			}
		}
	})
	if old {
		_ = h.used(hash) // whoever is in may go on reading where the disk takes nothing more
	}
	return p, known, err
}

// used notes that a session is in use.
func (h *House) used(hash string) error {
	return h.change(func(b *book) error {
		for i := range b.Sessions {
			if b.Sessions[i].Hash == hash {
				b.Sessions[i].Seen = h.now()
			}
		}
		return nil
	})
}

// Sessions lists those of an account, newest first.
func (h *House) Sessions(name string) (list []Session, err error) {
	now := h.now()
	err = h.see(func(b *book) {
		for _, s := range slices.Backward(b.Sessions) {
			if strings.EqualFold(s.Account, name) && !s.over(now) {
				list = append(list, s)
			}
		}
	})
	return list, err
}

// EndSession ends one session of an account, by its ID.
func (h *House) EndSession(name, id string) error {
	return h.change(func(b *book) error {
		b.Sessions = slices.DeleteFunc(b.Sessions, func(s Session) bool { return strings.EqualFold(s.Account, name) && s.ID() == id })
		return nil
	})
}

func (b *book) endSessions(name string) {
	b.Sessions = slices.DeleteFunc(b.Sessions, func(s Session) bool { return s.Account == name })
}

// newSecret is 32 random bytes as text, and the hash under which it is kept.
func newSecret() (secret, hash string) {
	random := make([]byte, 32)
	_, _ = rand.Read(random) // it never fails: crypto/rand ends the program instead
	secret = base64.RawURLEncoding.EncodeToString(random)
	return secret, hashOf(secret)
}

func hashOf(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}
