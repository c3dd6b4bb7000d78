package people

import (
	"crypto/rand"
	"crypto/subtle"
	"strings"
	"sync"

	"example.org/croze/internal/cellar"
)

// setupCode is what whoever sees the console can prove it by. It is kept in
// memory only and is gone when it was used.
type setupCode struct {
	mu   sync.Mutex
	hash string
}

// OfferSetup makes a one-time code with which the first account can be made.
// It is the caller's to show where only the owner sees it.
func (h *House) OfferSetup() string {
	text := rand.Text()[:16] // 80 random bits
	h.code.mu.Lock()
	defer h.code.mu.Unlock()
	h.code.hash = hashOf(text)
	return text[:4] + "-" + text[4:8] + "-" + text[8:12] + "-" + text[12:]
}

// SettingUp says whether a code was offered and no account is there yet.
func (h *House) SettingUp() (bool, error) {
	h.code.mu.Lock()
	offered := h.code.hash != ""
	h.code.mu.Unlock()
	empty, err := h.Empty()
	return offered && empty, err
}

// SetUp makes the first owner for whoever has the code, and signs them in.
func (h *House) SetUp(code, name, password, address, device string) (secret string, err error) {
	if open, err := h.SettingUp(); err != nil || !open {
		return "", errOr(err, problem(cellar.Refused, "code", "", "the store is set up already: sign in"))
	}
	if !h.tries.may("", address) {
		return "", ErrWait
	}
	written := strings.ToUpper(strings.NewReplacer("-", "", " ", "").Replace(code))
	h.code.mu.Lock()
	right := subtle.ConstantTimeCompare([]byte(hashOf(written)), []byte(h.code.hash)) == 1
	h.code.mu.Unlock()
	if !right {
		h.tries.wrong("", address)
		return "", problem(cellar.Refused, "code", "", "this is not the code that the program printed when it started")
	}
	if err := h.addFirst(name, password); err != nil {
		return "", err
	}
	h.tries.right(name, address)
	return h.begin(strings.TrimSpace(name), device)
}

// addFirst makes the owner, unless somebody was quicker.
func (h *House) addFirst(name, password string) error {
	h.code.mu.Lock()
	defer h.code.mu.Unlock()
	if h.code.hash == "" {
		return problem(cellar.Refused, "code", "", "the code was used already: sign in")
	}
	if err := h.Add(name, Owner, password); err != nil {
		return err
	}
	h.code.hash = ""
	return nil
}

func errOr(err, otherwise error) error {
	if err != nil {
		return err
	}
	return otherwise
}
