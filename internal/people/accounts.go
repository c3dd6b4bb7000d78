package people

import (
	"slices"
	"strings"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// mostAccounts of one store.
const mostAccounts = 200

// Add makes an account. The first one is an owner.
func (h *House) Add(name string, role Role, password string) error {
	name = strings.TrimSpace(name)
	if err := cellar.CheckName("name", name); err != nil {
		return err
	}
	if len(name) > journal.MaxWho {
		return problem(cellar.Invalid, "name", name, "longer than 200 bytes, which is what an entry can carry")
	}
	key, err := hashed(password, h.namesAround(name))
	if err != nil {
		return err
	}
	return h.change(func(b *book) error {
		switch {
		case !role.Known():
			return problem(cellar.Invalid, "role", string(role), "must be reader, hand, keeper or owner")
		case b.find(name) != nil:
			return problem(cellar.Refused, "name", name, "somebody goes by this already")
		case len(b.Accounts) == 0 && role != Owner:
			return problem(cellar.Refused, "role", string(role), "the first account must be an owner's")
		case len(b.Accounts) >= mostAccounts:
			return problem(cellar.Refused, "name", name, "there are 200 accounts, which is the most")
		}
		b.Accounts = append(b.Accounts, Account{Name: name, Role: role, Since: h.now(), Password: key})
		return nil
	})
}

// ChangePassword gives an account a new password, which ends its sessions. It is
// for its holder, who has shown that they know the old one.
func (h *House) ChangePassword(name, password string) error {
	return h.newPassword(name, password, func(*book, *Account) {})
}

// SetPassword gives an account a new password from outside: the way back in for
// who is locked out. It takes the passkeys away too, which somebody else may have.
func (h *House) SetPassword(name, password string) error {
	return h.newPassword(name, password, func(b *book, a *Account) {
		a.AskPasskey = false
		b.Passkeys = slices.DeleteFunc(b.Passkeys, func(p Passkey) bool { return p.Account == a.Name })
	})
}

func (h *House) newPassword(name, password string, besides func(*book, *Account)) error {
	key, err := hashed(password, h.namesAround(name))
	if err != nil {
		return err
	}
	return h.change(func(b *book) error {
		a := b.find(name)
		if a == nil {
			return problem(cellar.NotFound, "name", name, "nobody has an account of this name")
		}
		a.Password = key
		b.endSessions(a.Name)
		besides(b, a)
		return nil
	})
}

// SetRole changes what somebody may do, at once and in every session.
func (h *House) SetRole(name string, role Role) error {
	return h.change(func(b *book) error {
		a := b.find(name)
		switch {
		case a == nil:
			return problem(cellar.NotFound, "name", name, "nobody has an account of this name")
		case !role.Known():
			return problem(cellar.Invalid, "role", string(role), "must be reader, hand, keeper or owner")
		case role != Owner && b.isLastOwner(a):
			return problem(cellar.Refused, "role", string(role), "somebody must stay owner: make another one first")
		}
		a.Role = role
		return nil
	})
}

// Remove takes an account away with its sessions and tokens. The entries keep
// its name.
func (h *House) Remove(name string) error {
	return h.change(func(b *book) error {
		a := b.find(name)
		switch {
		case a == nil:
			return problem(cellar.NotFound, "name", name, "nobody has an account of this name")
		case b.isLastOwner(a):
			return problem(cellar.Refused, "name", name, "somebody must stay owner: make another one first")
		}
		gone := a.Name
		b.Accounts = slices.DeleteFunc(b.Accounts, func(a Account) bool { return a.Name == gone })
		return nil
	})
}

func (b *book) isLastOwner(a *Account) bool {
	owners := 0
	for _, one := range b.Accounts {
		if one.Role == Owner {
			owners++
		}
	}
	return a.Role == Owner && owners == 1
}
