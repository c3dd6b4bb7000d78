package server

import (
	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"
	"github.com/gofiber/fiber/v2"

	"example.org/croze/internal/people"
)

// holder is an account with its passkeys, as the library asks for it.
type holder struct {
	account people.Account
	handle  []byte
	keys    []people.Passkey
}

func (h holder) WebAuthnID() []byte          { return h.handle }
func (h holder) WebAuthnName() string        { return h.account.Name }
func (h holder) WebAuthnDisplayName() string { return h.account.Name }

func (h holder) WebAuthnCredentials() (list []webauthn.Credential) {
	for _, k := range h.keys {
		list = append(list, webauthn.Credential{
			ID: k.Key, PublicKey: k.Public, Flags: webauthn.CredentialFlags{BackupEligible: k.Synced}, Authenticator: webauthn.Authenticator{SignCount: k.Counter},
		})
	}
	return list
}

// descriptors name passkeys to a browser.
func (h holder) descriptors() []protocol.CredentialDescriptor {
	return webauthn.Credentials(h.WebAuthnCredentials()).CredentialDescriptors()
}

// holderOf is an account with its passkeys of a host.
func (s *Server) holderOf(account people.Account, host string) (holder, error) {
	keys, err := s.people.Passkeys(account.Name, host)
	return holder{account: account, handle: account.Handle, keys: keys}, err
}

func (s *Server) holderNamed(name, host string) (who holder, known bool, err error) {
	account, known, err := s.people.Account(name)
	if err != nil || !known {
		return who, false, err
	}
	who, err = s.holderOf(account, host)
	return who, true, err
}

// shown looks at a passkey that was shown for an attempt. It returns the account
// that it is said to be of, "" if nobody's, also where it is not good.
func (s *Server) shown(c *fiber.Ctx, one attempt) (name string, key []byte, counter uint32, err error) {
	name = one.Account
	response, err := protocol.ParseCredentialRequestResponseBytes(c.Body())
	if err != nil {
		return name, nil, 0, err
	}
	rules, err := one.party.rules()
	if err != nil {
		return name, nil, 0, err
	}
	if one.Account != "" {
		who, _, err := s.holderNamed(one.Account, one.party.Host)
		if err != nil {
			return name, nil, 0, err
		}
		_, err = rules.ValidateLogin(who, *one.Data, response)
		return name, response.RawID, response.Response.AuthenticatorData.Counter, err
	}
	_, _, err = rules.ValidatePasskeyLogin(func(_, handle []byte) (webauthn.User, error) {
		account, known, err := s.people.AccountOf(handle)
		if err != nil || !known {
			return nil, errorOr(err, people.ErrWrong)
		}
		name = account.Name
		return s.holderOf(account, one.party.Host)
	}, *one.Data, response)
	return name, response.RawID, response.Response.AuthenticatorData.Counter, err
}
