package journeys

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"

	"example.org/croze/internal/walk"
)

const secretWords = "a dry cellar in autumn"

// device gives the browser a device that holds passkeys, and returns what makes
// its finger reader know the person or not.
func (b *tab) device() (knows func(bool)) {
	b.T.Helper()
	options := &webauthn.VirtualAuthenticatorOptions{
		Protocol: webauthn.AuthenticatorProtocolCtap2, Transport: webauthn.AuthenticatorTransportInternal,
		HasResidentKey: true, HasUserVerification: true, IsUserVerified: true, AutomaticPresenceSimulation: true,
	}
	var id webauthn.AuthenticatorID
	b.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		if _, err := cdp.Call(ctx, t, webauthn.Enable, webauthn.EnableParams{}); err != nil {
			return err
		}
		added, err := cdp.Call(ctx, t, webauthn.AddVirtualAuthenticator, webauthn.AddVirtualAuthenticatorParams{Options: options})
		id = added.AuthenticatorID
		return err
	}))
	return func(person bool) {
		b.T.Helper()
		b.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, webauthn.SetUserVerified, webauthn.SetUserVerifiedParams{AuthenticatorID: id, IsUserVerified: person})
			return err
		}))
	}
}

func (b *tab) typeInto(selector, text string) {
	b.T.Helper()
	b.Do(chromedp.SendKeys(chromedp.CSS(selector), text))
}

// signInByPassword gives the one account's password and returns where that leads.
func (b *tab) signInByPassword() {
	b.T.Helper()
	b.open("/sign-in")
	b.typeInto("#password", secretWords)
	b.follow(".entry .primary")
}

func (b *tab) signOut() {
	b.T.Helper()
	b.follow(`form[action="/sign-out"] button`)
	b.Says("h1", "Sign in")
}

// TestPasskeys makes a passkey, signs in by it alone, has it asked for after the
// password, and takes it away.
func TestPasskeys(t *testing.T) {
	t.Parallel()
	p := start(t, "serve", "--data", filepath.Join(t.TempDir(), "store"))
	byNumber := p.tab(t, walk.Phone)
	p.Base = strings.Replace(p.Base, "127.0.0.1", "localhost", 1)
	b := p.tab(t, walk.Desk)
	knows := b.device()
	b.open("/people")
	b.write("name", "Ada")
	b.write("password", secretWords)
	b.follow(".primary")
	b.Says("h1", "Sign in")
	if strings.Contains(b.Text("main"), "passkey") {
		t.Error("a passkey is asked for where nobody has one")
	}
	b.signInByPassword()

	b.open("/people/me")
	b.axe(allRules)
	b.typeInto("#passkey-name", "desk")
	b.typeInto("#passkey-password", "not the one it is")
	b.Do(press("[data-host] form button"))
	b.Becomes(`document.querySelector("[data-host] .problem").textContent.includes("not the name and password")`)
	walk.Ask[string](b, `document.querySelector("#passkey-password").value = ""`)
	b.typeInto("#passkey-password", secretWords)
	b.follow("[data-host] form button")
	b.Says(`table:has([action="/people/me/passkeys/end"]) tbody`, "desk")
	b.look("/people/me")
	b.byKeyboard("/people/me")
	p.tab(t, walk.Phone).look("/people/me")

	b.signOut()
	b.look("/sign-in")
	b.byKeyboard("/sign-in")
	knows(false)
	b.Do(press("[data-show]"))
	b.Becomes(`document.querySelector("[data-host] .problem").textContent.includes("No passkey was shown")`)
	knows(true)
	b.follow("[data-show]")
	b.open("/people/me")
	b.Says("h1", "Ada")

	b.typeInto("#ask-password", secretWords)
	b.follow(`[action="/people/me/passkeys/ask"] button`)
	b.Says("main", "After your password, a passkey is asked for.")
	b.signOut()
	b.signInByPassword()
	b.Says("h1", "Your passkey")
	b.axe(allRules)
	b.picture("passkey-after")
	if got := walk.Perform(b, chromedp.Evaluate[string](`fetch("/vessels").then(r => new URL(r.url).pathname)`, chromedp.EvalAwaitPromise)); got != "/sign-in" {
		t.Errorf("with the password alone, the stock leads to %s", got)
	}
	b.follow("[data-show]")
	b.open("/people/me")
	b.Says("h1", "Ada")

	byNumber.open("/sign-in")
	byNumber.Says("main", "opened by a number")
	byNumber.axe(allRules)

	b.typeInto(`[action="/people/me/passkeys/end"] [name="password"]`, secretWords)
	b.follow(`[action="/people/me/passkeys/end"] button`)
	b.signOut()
	if strings.Contains(b.Text("main"), "passkey") {
		t.Error("a passkey is asked for where nobody has one any more")
	}
	b.signInByPassword()
	b.open("/people/me")
	b.Says("h1", "Ada")
}
