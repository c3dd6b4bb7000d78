package server

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// passwordKey is where the password's hash is kept beside the journal.
const passwordKey = "password"

// Lengths of a password, in characters.
const (
	ShortestPassword = 10
	LongestPassword  = 200
)

// hashed is a password as it is kept: Argon2id with its parameters (RFC 9106,
// the second recommended option).
type hashed struct {
	Time, MemoryKiB uint32
	Threads         uint8
	Salt, Key       string
}

// SetPassword keeps a password beside the journal; whoever opens the pages
// must then give it.
func SetPassword(j journal.Journal, password string) error {
	if n := utf8.RuneCountInString(password); n < ShortestPassword || n > LongestPassword {
		return &cellar.Problem{Kind: cellar.Invalid, Field: "password", Reason: fmt.Sprintf("must be %d to %d characters", ShortestPassword, LongestPassword)}
	}
	salt := make([]byte, 16)
	if _, err := rand.Read(salt); err != nil {
		return err
	}
	h := hashed{Time: 3, MemoryKiB: 64 * 1024, Threads: 4, Salt: base64.StdEncoding.EncodeToString(salt)}
	h.Key = base64.StdEncoding.EncodeToString(h.of(password, salt))
	data, err := json.Marshal(h)
	if err != nil {
		return err
	}
	return j.Put(passwordKey, data)
}

// HasPassword says whether one is set.
func HasPassword(j journal.Journal) (bool, error) {
	data, err := j.Get(passwordKey)
	return data != nil, err
}

func (h hashed) of(password string, salt []byte) []byte {
	return argon2.IDKey([]byte(password), salt, h.Time, h.MemoryKiB, h.Threads, 32)
}

// rightPassword compares in constant time.
func rightPassword(j journal.Journal, password string) (bool, error) {
	data, err := j.Get(passwordKey)
	if err != nil || data == nil {
		return false, err
	}
	var h hashed
	if err := json.Unmarshal(data, &h); err != nil {
		return false, err
	}
	salt, err := base64.StdEncoding.DecodeString(h.Salt)
	if err != nil {
		return false, err
	}
	key, err := base64.StdEncoding.DecodeString(h.Key)
	if err != nil {
		return false, err
	}
	return subtle.ConstantTimeCompare(h.of(password, salt), key) == 1, nil
}
