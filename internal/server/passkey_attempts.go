package server

import (
	"crypto/rand"
	"crypto/sha256"
	"sync"
	"time"

	"github.com/go-webauthn/webauthn/webauthn"
	"github.com/gofiber/fiber/v2"
)

// attemptLasts is how long a person has to show a passkey.
const attemptLasts = 5 * time.Minute

// mostAttempts that are remembered at a time; beyond it all are forgotten, and
// whoever was about to show a passkey begins again.
const mostAttempts = 10_000

// attemptCookie leads a browser to its attempt.
const attemptCookie = "croze_attempt"

// attempt is a passkey that somebody was asked for: the challenge that it must
// sign, and what for. It is good once, for a short time, for one browser.
type attempt struct {
	Account string // "": whoever's passkey it is
	Proven  bool   // the account's password was right just now
	Session string // the session in which a new passkey was asked for, by ID; "" for signing in
	Label   string // what the new one is to be called
	Data    *webauthn.SessionData

	party party
	until time.Time
}

// attempts are those that are under way. They are gone when the program ends.
type attempts struct {
	mu     sync.Mutex
	byHash map[[sha256.Size]byte]attempt
}

// keep remembers one and returns the secret that leads to it.
func (a *attempts) keep(one attempt, now time.Time) (secret string) {
	secret = rand.Text()
	one.until = now.Add(attemptLasts)
	a.mu.Lock()
	defer a.mu.Unlock()
	for hash, other := range a.byHash {
		if !now.Before(other.until) {
			delete(a.byHash, hash)
		}
	}
	if a.byHash == nil || len(a.byHash) >= mostAttempts {
		a.byHash = make(map[[sha256.Size]byte]attempt)
	}
	a.byHash[sha256.Sum256([]byte(secret))] = one
	return secret
}

// look finds one that is not over, and takes it out if it is to be used.
func (a *attempts) look(secret string, now time.Time, take bool) (one attempt, good bool) {
	hash := sha256.Sum256([]byte(secret))
	a.mu.Lock()
	defer a.mu.Unlock()
	one, good = a.byHash[hash]
	if take {
		delete(a.byHash, hash)
	}
	return one, good && now.Before(one.until)
}

// keepAttempt remembers one for this browser.
func (s *Server) keepAttempt(c *fiber.Ctx, one attempt) {
	now := s.book.Now()
	giveCookie(c, attemptCookie, s.attempts.keep(one, now), now.Add(attemptLasts))
}

// takeAttempt is the attempt of this browser. It is good once, whatever comes of it.
func (s *Server) takeAttempt(c *fiber.Ctx) (attempt, bool) {
	return s.attempts.look(cookieOf(c, attemptCookie), s.book.Now(), true)
}
