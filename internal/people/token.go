package people

import (
	"slices"
	"strings"
	"time"

	"example.org/croze/internal/cellar"
)

// Token opens the API to a program in somebody's name.
type Token struct {
	Hash    string    `json:"hash"` // SHA-256 of the secret, hex
	Account string    `json:"account"`
	Label   string    `json:"label"` // what it is for
	Scope   Role      `json:"scope"` // it may what this role may, and never more than its account
	Made    time.Time `json:"made"`
	Until   time.Time `json:"until"`
}

// ID names a token on pages without giving it away.
func (t Token) ID() string { return t.Hash[:16] }

// Limits of tokens.
const (
	mostTokens   = 20 // of an account
	LongestToken = 366 * 24 * time.Hour
	tokenPrefix  = "croze_"
)

// MakeToken makes a token for an account. Its secret is returned once and kept nowhere.
func (h *House) MakeToken(name, label string, scope Role, lasts time.Duration) (secret string, err error) {
	random, _ := newSecret()
	secret, now := tokenPrefix+random, h.now()
	label = strings.TrimSpace(label)
	if err := cellar.CheckName("label", label); err != nil {
		return "", err
	}
	if lasts <= 0 || lasts > LongestToken {
		return "", problem(cellar.Invalid, "days", "", "must be 1 to 366")
	}
	err = h.change(func(b *book) error {
		a := b.find(name)
		switch {
		case a == nil:
			return problem(cellar.NotFound, "name", name, "nobody has an account of this name")
		case scope == Owner || !a.Role.May(scope):
			return problem(cellar.Refused, "scope", string(scope), "a token may be a reader's, a hand's or a keeper's, and no more than you are")
		case b.tokensOf(a.Name) >= mostTokens:
			return problem(cellar.Refused, "label", label, "there are 20 tokens, which is the most: end one first")
		}
		b.Tokens = append(b.Tokens, Token{hashOf(secret), a.Name, label, scope, now, now.Add(lasts)})
		return nil
	})
	return secret, err
}

func (b *book) tokensOf(name string) (n int) {
	for _, t := range b.Tokens {
		if t.Account == name {
			n++
		}
	}
	return n
}

// Bearer finds the person in whose name a program asks.
func (h *House) Bearer(secret string) (p Person, known bool, err error) {
	if !strings.HasPrefix(secret, tokenPrefix) {
		return p, false, nil
	}
	hash, now := hashOf(secret), h.now()
	err = h.see(func(b *book) {
		for _, t := range b.Tokens {
			if t.Hash == hash && now.Before(t.Until) {
				if a := b.find(t.Account); a != nil {
					p, known = Person{Name: a.Name, Role: least(a.Role, t.Scope), Token: t.ID()}, true
				}
			}
		}
	})
	return p, known, err
}

// Tokens lists those of an account, newest first, the ended ones too.
func (h *House) Tokens(name string) (list []Token, err error) {
	err = h.see(func(b *book) {
		for _, t := range slices.Backward(b.Tokens) {
			if strings.EqualFold(t.Account, name) {
				list = append(list, t)
			}
		}
	})
	return list, err
}

// EndToken takes a token of an account away, by its ID.
func (h *House) EndToken(name, id string) error {
	return h.change(func(b *book) error {
		b.Tokens = slices.DeleteFunc(b.Tokens, func(t Token) bool { return strings.EqualFold(t.Account, name) && t.ID() == id })
		return nil
	})
}
