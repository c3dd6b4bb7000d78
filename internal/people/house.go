package people

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// Where accounts are kept beside the journal, and where the one password of
// earlier versions is.
const (
	keptKey = "people"
	oldKey  = "password"
)

// OwnerName is the account that a password without a name belongs to.
const OwnerName = "owner"

// Account is a person. Names are told apart without regard to case.
type Account struct {
	Name     string    `json:"name"`
	Role     Role      `json:"role"`
	Since    time.Time `json:"since"`
	Password *Hashed   `json:"password"`

	Handle     []byte `json:"handle,omitempty"`      // what devices with its passkeys know it by
	AskPasskey bool   `json:"ask_passkey,omitempty"` // one is asked for after the password
}

// book is everything that is kept.
type book struct {
	Accounts []Account `json:"accounts"`
	Sessions []Session `json:"sessions,omitempty"`
	Tokens   []Token   `json:"tokens,omitempty"`
	Passkeys []Passkey `json:"passkeys,omitempty"`
}

// House holds the people of one store. Its methods may be called from many
// goroutines.
type House struct {
	journal journal.Journal
	now     func() time.Time
	tries   tries
	code    setupCode
	around  []string

	mu    sync.Mutex
	bytes []byte // as last read, of which book is what they say
	book  book
}

// Open knows the people kept beside a journal.
func Open(j journal.Journal, now func() time.Time) *House {
	return &House{journal: j, now: now, tries: tries{now: now}}
}

// Called tells names that everybody knows, such as the house's own: none of them
// does for a password. It is called before anything else.
func (h *House) Called(names ...string) { h.around = append(h.around, names...) }

func (h *House) namesAround(account string) []string {
	return append(strings.Fields(account), append(h.around, account)...)
}

// read brings what is in memory up to what is kept. The caller holds the lock.
func (h *House) read() error {
	data, err := h.journal.Get(keptKey)
	if err != nil {
		return err
	}
	if data == nil {
		return h.readOld()
	}
	if bytes.Equal(data, h.bytes) {
		return nil
	}
	var kept book
	if err := json.Unmarshal(data, &kept); err != nil {
		return fmt.Errorf("the accounts cannot be read: %w", err)
	}
	h.bytes, h.book = data, kept
	return nil
}

// readOld takes the one password of earlier versions for the owner's.
func (h *House) readOld() error {
	h.bytes, h.book = nil, book{}
	data, err := h.journal.Get(oldKey)
	if err != nil || data == nil {
		return err
	}
	owner := Account{Name: OwnerName, Role: Owner, Password: new(Hashed)}
	if err := json.Unmarshal(data, owner.Password); err != nil {
		return fmt.Errorf("the password cannot be read: %w", err)
	}
	h.book.Accounts = []Account{owner}
	return nil
}

// change lets a function change what is kept, and keeps it if that goes well.
func (h *House) change(do func(*book) error) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	if err := h.read(); err != nil {
		return err
	}
	next := book{slices.Clone(h.book.Accounts), slices.Clone(h.book.Sessions), slices.Clone(h.book.Tokens), slices.Clone(h.book.Passkeys)}
	if err := do(&next); err != nil {
		return err
	}
	next.tidy(h.now())
	data, err := json.Marshal(next)
	if err != nil {
		return err
	}
	if err := h.journal.Put(keptKey, data); err != nil {
		return err
	}
	h.bytes, h.book = data, next
	return nil
}

// tidy drops what has ended, and what belongs to nobody any more.
func (b *book) tidy(now time.Time) {
	b.Sessions = slices.DeleteFunc(b.Sessions, func(s Session) bool { return s.over(now) || b.find(s.Account) == nil })
	b.Tokens = slices.DeleteFunc(b.Tokens, func(t Token) bool { return b.find(t.Account) == nil })
	b.Passkeys = slices.DeleteFunc(b.Passkeys, func(p Passkey) bool { return b.find(p.Account) == nil })
}

// see lets a function look at what is kept.
func (h *House) see(look func(*book)) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	if err := h.read(); err != nil {
		return err
	}
	look(&h.book)
	return nil
}

func (b *book) find(name string) *Account {
	i := slices.IndexFunc(b.Accounts, func(a Account) bool { return strings.EqualFold(a.Name, name) })
	if i < 0 {
		return nil
	}
	return &b.Accounts[i]
}

// Empty says whether there is no account.
func (h *House) Empty() (empty bool, err error) {
	err = h.see(func(b *book) { empty = len(b.Accounts) == 0 })
	return empty, err
}

// Accounts lists them in the order in which they were made.
func (h *House) Accounts() (list []Account, err error) {
	err = h.see(func(b *book) { list = slices.Clone(b.Accounts) })
	return list, err
}

// Only is the name of the one account, "" if there are more.
func (h *House) Only() (name string, err error) {
	err = h.see(func(b *book) {
		if len(b.Accounts) == 1 {
			name = b.Accounts[0].Name
		}
	})
	return name, err
}

func problem(kind cellar.ProblemKind, field, value, reason string) error {
	return &cellar.Problem{Kind: kind, Field: field, Value: value, Reason: reason}
}
