package server_test

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"example.org/croze/internal/people"
)

// A device as WebAuthn (level 2, 6.1 and 6.5) describes it, written down byte by
// byte and without the program's own library, so that it is a check of it.
type device struct {
	t       *testing.T
	key     *ecdsa.PrivateKey
	id      []byte
	handle  []byte // of the account, as it was told when the passkey was made
	counter uint32
	host    string
	origin  string
	flags   byte
	kind    string // of what it signs
}

// Flags of what a device says (6.1).
const (
	present  = 0x01
	verified = 0x04
	attested = 0x40
)

func newDevice(t *testing.T, host, origin string) *device {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	must(t, err)
	id := make([]byte, 20)
	_, err = rand.Read(id)
	must(t, err)
	return &device{t: t, key: key, id: id, host: host, origin: origin, flags: present | verified}
}

// cose is the public key in the form of RFC 9053, 7.1.
func (d *device) cose() []byte {
	point, err := d.key.PublicKey.Bytes()
	must(d.t, err)
	out := append([]byte{0xa5, 0x01, 0x02, 0x03, 0x26, 0x20, 0x01, 0x21, 0x58, 32}, point[1:33]...)
	return append(append(out, 0x22, 0x58, 32), point[33:65]...)
}

func text(b []byte) string { return base64.RawURLEncoding.EncodeToString(b) }

func (d *device) clientData(kind, challenge string) []byte {
	if d.kind != "" {
		kind = d.kind
	}
	data, err := json.Marshal(map[string]any{"type": "webauthn." + kind, "challenge": challenge, "origin": d.origin, "crossOrigin": false})
	must(d.t, err)
	return data
}

func (d *device) says(flags byte) []byte {
	host := sha256.Sum256([]byte(d.host))
	return binary.BigEndian.AppendUint32(append(host[:], flags), d.counter)
}

// made is the answer to options for a new passkey.
func (d *device) made(options string) string {
	d.t.Helper()
	var asked struct {
		Challenge string
		User      struct{ ID string }
	}
	must(d.t, json.Unmarshal([]byte(options), &asked))
	var err error
	d.handle, err = base64.RawURLEncoding.DecodeString(asked.User.ID)
	must(d.t, err)
	data := append(d.says(d.flags|attested), make([]byte, 16)...)
	data = append(binary.BigEndian.AppendUint16(data, uint16(len(d.id))), append(bytes.Clone(d.id), d.cose()...)...)
	object := append([]byte("\xa3\x63fmt\x64none\x67attStmt\xa0\x68authData\x58"), byte(len(data)))
	return d.answer(map[string]any{"clientDataJSON": text(d.clientData("create", asked.Challenge)), "attestationObject": text(append(object, data...))})
}

// shown is the answer to options for a passkey that is there.
func (d *device) shown(options string) string {
	d.t.Helper()
	var asked struct{ Challenge string }
	must(d.t, json.Unmarshal([]byte(options), &asked))
	d.counter++
	client, data := d.clientData("get", asked.Challenge), d.says(d.flags)
	hash := sha256.Sum256(client)
	sum := sha256.Sum256(append(bytes.Clone(data), hash[:]...))
	signature, err := ecdsa.SignASN1(rand.Reader, d.key, sum[:])
	must(d.t, err)
	return d.answer(map[string]any{
		"clientDataJSON": text(client), "authenticatorData": text(data), "signature": text(signature), "userHandle": text(d.handle),
	})
}

func (d *device) answer(response map[string]any) string {
	data, err := json.Marshal(map[string]any{
		"id": text(d.id), "rawId": text(d.id), "type": "public-key", "clientExtensionResults": map[string]any{}, "response": response,
	})
	must(d.t, err)
	return string(data)
}

// keyed is a staffed house in which Ada and Bo have a passkey each, as if they had
// made them where the house is called so.
type keyed struct {
	staff
	ada, bo *device
}

// What the house is called in these tests: a name for passkeys, and the address
// that a browser says it is at.
const hereName, hereBase = "localhost", "http://localhost:8080"

func keyedHouse(t *testing.T) keyed {
	t.Helper()
	k := keyed{staff: staffedHouse(t)}
	k.ada, k.bo = k.has(t, "Ada"), k.has(t, "Bo")
	return k
}

// has gives an account a passkey.
func (k keyed) has(t *testing.T, name string) *device {
	t.Helper()
	d := newDevice(t, hereName, hereBase)
	var err error
	d.handle, err = k.all.Handle(name)
	must(t, err)
	must(t, k.all.AddPasskey(people.Passkey{Account: name, Name: "of " + name, Host: d.host, Key: d.id, Public: d.cose()}))
	return d
}

// here asks a house for a page under the name that it has here.
func (h house) here(method, path, kind, body, cookie string) answer {
	h.t.Helper()
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host = strings.TrimPrefix(hereBase, "http://")
	r.Header.Set("Content-Type", kind)
	return h.do(r, "Cookie", cookie)
}

// send posts JSON as a page's script does, fill posts a form, and page looks at one.
func (h house) send(path, body, cookie string) answer {
	h.t.Helper()
	return h.here(http.MethodPost, path, "application/json", body, cookie)
}

func (h house) fill(path string, form url.Values, cookie string) answer {
	h.t.Helper()
	return h.here(http.MethodPost, path, "application/x-www-form-urlencoded", form.Encode(), cookie)
}

func (h house) page(path, cookie string) answer {
	h.t.Helper()
	return h.here(http.MethodGet, path, "", "", cookie)
}

// asked begins to show a passkey, and returns the cookie of that attempt.
func (k keyed) asked(cookie string) (options, attempt string) {
	k.t.Helper()
	a := k.send("/sign-in/passkey/begin", "{}", cookie)
	if a.status != http.StatusOK {
		k.t.Fatalf("status %d: %s", a.status, a.body)
	}
	return a.body, cookieIn(a, "croze_attempt")
}

// cookieIn is a cookie that an answer sets, as a browser sends it back; "" if it
// sets none or takes it away.
func cookieIn(a answer, name string) string {
	for _, line := range a.header.Values("Set-Cookie") {
		pair, _, _ := strings.Cut(line, ";")
		if value, ours := strings.CutPrefix(pair, name+"="); ours && value != "" {
			return pair
		}
	}
	return ""
}

func newRequest(path, host string) *http.Request {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	r.Host = host
	return r
}
