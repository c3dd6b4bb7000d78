package server

import (
	"net"
	"net/url"
	"strings"

	"github.com/go-webauthn/webauthn/protocol"
	"github.com/go-webauthn/webauthn/webauthn"
	"github.com/gofiber/fiber/v2"
)

// party is what passkeys are bound to: a name of the store, and the address by
// which a browser must have opened its page.
type party struct {
	Host   string // "" where passkeys do not work
	Origin string // scheme, name and port as a browser says them
	Why    string // why they do not, for people
}

// Why passkeys do not work somewhere.
const (
	noName  = "This page was opened by a number, and a passkey is bound to a name: open the store by its name."
	noHTTPS = "This page came without https, and a passkey works over https only."
)

// party is who asks for passkeys in answer to a request: the store under its
// public name, if that is one of https, else under the name by which the browser
// came. That name is the browser's word, which is enough: a passkey keeps the
// name that it was made for, and no device shows it to a page of another one.
func (s *Server) party(c *fiber.Ctx) party {
	host := strings.ToLower(string(c.Request().Header.Host()))
	scheme := "http"
	if secure(c) {
		scheme = "https"
	}
	here := url.URL{Scheme: scheme, Host: host}
	public, err := url.Parse(strings.ToLower(s.options.PublicURL))
	switch {
	case here.Hostname() == "localhost":
	case err == nil && public.Scheme == "https":
		here = *public
	}
	switch {
	case net.ParseIP(here.Hostname()) != nil:
		return party{Why: noName}
	case here.Scheme != "https" && here.Hostname() != "localhost":
		return party{Why: noHTTPS}
	}
	return party{Host: here.Hostname(), Origin: originOf(here)}
}

// originOf writes an address as browsers do, without the port that is usual.
func originOf(u url.URL) string {
	host := u.Host
	if u.Scheme == "https" {
		host = strings.TrimSuffix(host, ":443")
	} else if u.Scheme == "http" {
		host = strings.TrimSuffix(host, ":80")
	}
	return u.Scheme + "://" + host
}

// rules are how passkeys are made and looked at: the device makes sure who holds
// it, and knows the account by itself. Which make it is, nobody asks.
func (p party) rules() (*webauthn.WebAuthn, error) {
	return webauthn.New(&webauthn.Config{
		RPID: p.Host, RPDisplayName: "Croze", RPOrigins: []string{p.Origin},
		AttestationPreference: protocol.PreferNoAttestation,
		AuthenticatorSelection: protocol.AuthenticatorSelection{
			ResidentKey: protocol.ResidentKeyRequirementRequired, RequireResidentKey: protocol.ResidentKeyRequired(), UserVerification: protocol.VerificationRequired,
		},
		Timeouts: webauthn.TimeoutsConfig{
			Login: webauthn.TimeoutConfig{Timeout: attemptLasts}, Registration: webauthn.TimeoutConfig{Timeout: attemptLasts},
		},
		ExtensionsUnsolicitedOutputPolicy: protocol.UnsolicitedOutputPolicyIgnore, // nothing rests on them
	})
}
