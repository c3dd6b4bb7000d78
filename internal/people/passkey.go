package people

import (
	"bytes"
	"crypto/rand"
	"errors"
	"slices"
	"strings"
	"time"

	"example.org/croze/internal/cellar"
)

// Passkey is a key pair of somebody's device or of a stick, of which only the
// public half is known here. It signs in by itself, or is asked for after the
// password.
type Passkey struct {
	Account  string    `json:"account"`
	Name     string    `json:"name"` // what its holder calls it
	Host     string    `json:"host"` // the name of the store that it is bound to
	Key      []byte    `json:"key"`  // what it is called by the device
	Public   []byte    `json:"public"`
	Counter  uint32    `json:"counter"` // of its signatures; 0 where the device does not count
	Synced   bool      `json:"synced,omitempty"`
	Made     time.Time `json:"made"`
	LastUsed time.Time `json:"last_used,omitzero"`
	Copied   time.Time `json:"copied,omitzero"` // when its counter went back: from then on it opens nothing
}

// ID names a passkey on pages.
func (p Passkey) ID() string { return hashOf(string(p.Key))[:16] }

const (
	mostPasskeys = 10 // of an account
	handleBytes  = 32

	longestKey    = 1023 // bytes of what a device calls a passkey (WebAuthn, 5.8.3)
	longestPublic = 2100 // bytes of a public key; the longest in use has 1974
)

// ErrCopied is told of a passkey whose counter went back, which is what a copy of
// it would look like.
var ErrCopied = errors.New("the passkey counts fewer signatures than before, as a copy of it would: it opens nothing any more. Sign in with the password and take it away")

// Handle is what devices know an account by: random, and the same for all of its
// passkeys. It is made at the first call.
func (h *House) Handle(name string) (handle []byte, err error) {
	err = h.change(func(b *book) error {
		a := b.find(name)
		if a == nil {
			return problem(cellar.NotFound, "name", name, "nobody has an account of this name")
		}
		if a.Handle == nil {
			a.Handle = make([]byte, handleBytes)
			_, _ = rand.Read(a.Handle) // it never fails: crypto/rand ends the program instead
		}
		handle = a.Handle
		return nil
	})
	return handle, err
}

// Passkeys lists those of an account that are bound to a host, all if it is "",
// the oldest first.
func (h *House) Passkeys(name, host string) (list []Passkey, err error) {
	err = h.see(func(b *book) { list = b.passkeys(name, host) })
	return list, err
}

func (b *book) passkeys(name, host string) (list []Passkey) {
	for _, p := range b.Passkeys {
		if strings.EqualFold(p.Account, name) && (host == "" || p.Host == host) {
			list = append(list, p)
		}
	}
	return list
}

// AnyPasskey says whether anybody has a passkey that is bound to a host, or to
// any if it is "".
func (h *House) AnyPasskey(host string) (any bool, err error) {
	err = h.see(func(b *book) {
		any = slices.ContainsFunc(b.Passkeys, func(p Passkey) bool { return host == "" || p.Host == host })
	})
	return any, err
}

// Account finds the one of a name.
func (h *House) Account(name string) (a Account, known bool, err error) {
	err = h.see(func(b *book) {
		if found := b.find(name); found != nil {
			a, known = *found, true
		}
	})
	return a, known, err
}

// AccountOf finds the one that a device knows by a handle.
func (h *House) AccountOf(handle []byte) (a Account, known bool, err error) {
	err = h.see(func(b *book) {
		for _, one := range b.Accounts {
			if len(one.Handle) > 0 && bytes.Equal(one.Handle, handle) {
				a, known = one, true
			}
		}
	})
	return a, known, err
}

// AddPasskey gives an account one more.
func (h *House) AddPasskey(p Passkey) error {
	p.Name = strings.TrimSpace(p.Name)
	if err := cellar.CheckName("passkey", p.Name); err != nil {
		return err
	}
	if len(p.Key) == 0 || len(p.Key) > longestKey || len(p.Public) == 0 || len(p.Public) > longestPublic {
		return problem(cellar.Invalid, "passkey", p.Name, "what the device made is longer than a passkey can be")
	}
	return h.change(func(b *book) error {
		a := b.find(p.Account)
		switch {
		case a == nil:
			return problem(cellar.NotFound, "name", p.Account, "nobody has an account of this name")
		case len(b.passkeys(a.Name, "")) >= mostPasskeys:
			return problem(cellar.Refused, "passkey", p.Name, "there are 10 passkeys, which is the most: take one away first")
		case slices.ContainsFunc(b.Passkeys, func(q Passkey) bool { return bytes.Equal(q.Key, p.Key) }):
			return problem(cellar.Refused, "passkey", p.Name, "this one is registered already")
		case slices.ContainsFunc(b.passkeys(a.Name, ""), func(q Passkey) bool { return strings.EqualFold(q.Name, p.Name) }):
			return problem(cellar.Refused, "passkey", p.Name, "another one of yours is called so")
		}
		p.Account, p.Made = a.Name, h.now()
		b.Passkeys = append(b.Passkeys, p)
		return nil
	})
}

// EndPasskey takes one of an account away, by its ID. With the last one it is no
// longer asked for after the password.
func (h *House) EndPasskey(name, id string) error {
	return h.change(func(b *book) error {
		b.Passkeys = slices.DeleteFunc(b.Passkeys, func(p Passkey) bool { return strings.EqualFold(p.Account, name) && p.ID() == id })
		if a := b.find(name); a != nil && len(b.passkeys(a.Name, "")) == 0 {
			a.AskPasskey = false
		}
		return nil
	})
}

// AskPasskey says whether a passkey is asked for after an account's password.
func (h *House) AskPasskey(name string, ask bool) error {
	return h.change(func(b *book) error {
		a := b.find(name)
		switch {
		case a == nil:
			return problem(cellar.NotFound, "name", name, "nobody has an account of this name")
		case ask && len(b.passkeys(a.Name, "")) == 0:
			return problem(cellar.Refused, "passkey", "", "there is none that could be asked for: add one first")
		}
		a.AskPasskey = ask
		return nil
	})
}

// SignInByPasskey gives a session to the holder of a passkey, whose signature the
// caller has looked at. counter is what the device says it has signed so often.
func (h *House) SignInByPasskey(key []byte, counter uint32, address, device string) (name, secret string, err error) {
	copied := false
	err = h.change(func(b *book) error {
		i := slices.IndexFunc(b.Passkeys, func(p Passkey) bool { return bytes.Equal(p.Key, key) })
		if i < 0 {
			return ErrWrong
		}
		p := &b.Passkeys[i]
		name = p.Account
		if went := counter <= p.Counter && (counter > 0 || p.Counter > 0); went && p.Copied.IsZero() {
			p.Copied = h.now()
		}
		copied = !p.Copied.IsZero()
		if !copied {
			p.Counter, p.LastUsed = counter, h.now()
		}
		return nil
	})
	if err != nil {
		return name, "", err
	}
	if copied {
		h.WrongPasskey(name, address)
		return name, "", ErrCopied
	}
	h.tries.right(name, address)
	secret, err = h.begin(name, device)
	return name, secret, err
}

// HeldBack says whether an address tried too often. Passkeys cannot be guessed, so
// that the tries of strangers hold nobody back who comes with one.
func (h *House) HeldBack(address string) bool { return !h.tries.mayFrom(address) }

// WrongPasskey counts a passkey that did not open an account, "" if it is not known
// which, as a wrong password is counted.
func (h *House) WrongPasskey(name, address string) {
	if name == "" {
		h.tries.wrongFrom(address)
		return
	}
	h.tries.wrong(name, address)
}
