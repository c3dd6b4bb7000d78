package people

import (
	"errors"
	"strings"
	"sync"
	"time"
)

// What a sign-in that fails is told.
var (
	ErrWrong = errors.New("that is not the name and password")
	ErrWait  = errors.New("too many wrong tries: wait a quarter of an hour")

	// ErrPasskeyToo says that the password was right and a passkey is asked for.
	ErrPasskeyToo = errors.New("the password is right: a passkey is asked for too")
)

// Limits of wrong tries within a quarter of an hour. An address is held back by
// its own tries. An account is held back by the tries of all strangers together,
// and a stranger is an address from which nobody has signed in to it: so those
// who guess from many addresses are stopped, and its holder is not locked out.
const (
	window          = 15 * time.Minute
	triesOfAddress  = 10
	triesOfAccount  = 50
	mostRemembered  = 10_000 // addresses and accounts; beyond it the rest share one count
	familiarLasts   = 90 * 24 * time.Hour
	everybodyBeyond = "\x00all others"
)

// tries counts wrong passwords. What it knows is gone when the program ends.
type tries struct {
	now       func() time.Time
	mu        sync.Mutex
	addresses map[string][]time.Time
	accounts  map[string][]time.Time
	familiar  map[string]time.Time // account and address of a sign-in that went well
}

func familiarKey(name, address string) string { return strings.ToLower(name) + "\x00" + address }

// may says whether an address may try a password of an account now.
func (t *tries) may(name, address string) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	if len(recent(t.addresses, address, t.now())) >= triesOfAddress {
		return false
	}
	if last, known := t.familiar[familiarKey(name, address)]; known && t.now().Sub(last) < familiarLasts {
		return true
	}
	return len(recent(t.accounts, strings.ToLower(name), t.now())) < triesOfAccount
}

// mayFrom says whether an address may try anything now.
func (t *tries) mayFrom(address string) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	return len(recent(t.addresses, address, t.now())) < triesOfAddress
}

// recent forgets what is older than the window and returns the rest.
func recent(list map[string][]time.Time, key string, now time.Time) []time.Time {
	key = keyIn(list, key)
	old := list[key]
	for len(old) > 0 && !old[0].After(now.Add(-window)) {
		old = old[1:]
	}
	if len(old) == 0 {
		delete(list, key)
		return nil
	}
	list[key] = old
	return old
}

func keyIn(list map[string][]time.Time, key string) string {
	if _, known := list[key]; !known && len(list) >= mostRemembered {
		return everybodyBeyond
	}
	return key
}

func (t *tries) wrong(name, address string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.noteAddress(address)
	if last, known := t.familiar[familiarKey(name, address)]; !known || t.now().Sub(last) >= familiarLasts {
		note(t.accounts, strings.ToLower(name), t.now())
	}
}

// wrongFrom counts a try of which it is not known whose account it was for.
func (t *tries) wrongFrom(address string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.noteAddress(address)
}

func (t *tries) noteAddress(address string) {
	if t.addresses == nil {
		t.addresses, t.accounts = make(map[string][]time.Time), make(map[string][]time.Time)
	}
	t.sweep()
	note(t.addresses, address, t.now())
}

func note(list map[string][]time.Time, key string, at time.Time) {
	key = keyIn(list, key)
	list[key] = append(list[key], at)
}

// sweep forgets all that is over once there is much to remember.
func (t *tries) sweep() {
	for _, list := range []map[string][]time.Time{t.addresses, t.accounts} {
		if len(list) < mostRemembered {
			continue
		}
		for key := range list {
			recent(list, key, t.now())
		}
	}
}

func (t *tries) right(name, address string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.familiar == nil || len(t.familiar) >= mostRemembered {
		t.familiar = make(map[string]time.Time)
	}
	t.familiar[familiarKey(name, address)] = t.now()
}
