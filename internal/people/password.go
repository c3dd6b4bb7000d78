package people

import (
	"crypto/rand"
	"crypto/subtle"
	"fmt"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"

	"example.org/croze/internal/cellar"
)

// Lengths of a password, in characters.
const (
	ShortestPassword = 10
	LongestPassword  = 200
)

// Hashed is a password as it is kept: Argon2id with its parameters (RFC 9106,
// the second recommended option).
type Hashed struct {
	Time, MemoryKiB uint32
	Threads         uint8
	Salt, Key       []byte // base64 in JSON
}

// atOnce bounds how many passwords are worked on at a time: each takes 64 MiB.
var atOnce = make(chan struct{}, 2)

// hashed works a new password out. It refuses one of the wrong length, and one
// that is easily guessed by who knows some names.
func hashed(password string, names []string) (*Hashed, error) {
	if n := utf8.RuneCountInString(password); n < ShortestPassword || n > LongestPassword {
		return nil, &cellar.Problem{Kind: cellar.Invalid, Field: "password", Reason: fmt.Sprintf("must be %d to %d characters", ShortestPassword, LongestPassword)}
	}
	if err := refuseGuessable(password, names); err != nil {
		return nil, err
	}
	salt := make([]byte, 16)
	if _, err := rand.Read(salt); err != nil {
		return nil, err
	}
	h := &Hashed{Time: 3, MemoryKiB: 64 * 1024, Threads: 4, Salt: salt}
	h.Key = h.of(password)
	return h, nil
}

func (h *Hashed) of(password string) []byte {
	atOnce <- struct{}{}
	defer func() { <-atOnce }()
	return argon2.IDKey([]byte(password), h.Salt, h.Time, h.MemoryKiB, h.Threads, 32)
}

// nobody is what a name that is not known is compared with, so that an answer
// takes as long as for one that is.
var nobody = &Hashed{Time: 3, MemoryKiB: 64 * 1024, Threads: 4, Salt: make([]byte, 16), Key: make([]byte, 32)}

// is compares in constant time.
func (h *Hashed) is(password string) bool {
	if utf8.RuneCountInString(password) > LongestPassword {
		return false
	}
	return subtle.ConstantTimeCompare(h.of(password), h.Key) == 1
}
