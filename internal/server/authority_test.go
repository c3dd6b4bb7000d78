package server_test

import (
	"crypto/tls"
	"crypto/x509"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/server"
)

// trusting is a pool with a folder's authority, as a phone has it.
func trusting(t testing.TB, dir string) *x509.CertPool {
	t.Helper()
	data, err := server.Authority(dir)
	must(t, err)
	pool := x509.NewCertPool()
	if !pool.AppendCertsFromPEM(data) {
		t.Fatal("the authority is no certificate")
	}
	return pool
}

func leafOf(t *testing.T, secure *tls.Config) *x509.Certificate {
	t.Helper()
	leaf, err := x509.ParseCertificate(secure.Certificates[0].Certificate[0])
	must(t, err)
	return leaf
}

func TestAPhoneThatTrustsTheAuthority(t *testing.T) {
	dir := t.TempDir()
	secure, err := server.SelfMade(dir, today)
	must(t, err)
	for _, name := range []string{"localhost", "127.0.0.1"} {
		_, err := leafOf(t, secure).Verify(x509.VerifyOptions{DNSName: name, Roots: trusting(t, dir), CurrentTime: today})
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	info, err := os.Stat(filepath.Join(dir, "authority-key.pem"))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the key can be read by others: %v, %v", info, err)
	}
	again, err := server.SelfMade(dir, today.AddDate(0, 1, 0))
	must(t, err)
	if !leafOf(t, again).Equal(leafOf(t, secure)) {
		t.Error("the certificate is another one after a month")
	}
	later := today.Add(800 * 24 * time.Hour)
	renewed, err := server.SelfMade(dir, later)
	must(t, err)
	if leafOf(t, renewed).Equal(leafOf(t, secure)) {
		t.Error("the certificate is not renewed before its end")
	}
	if _, err := leafOf(t, renewed).Verify(x509.VerifyOptions{DNSName: "localhost", Roots: trusting(t, dir), CurrentTime: later}); err != nil {
		t.Errorf("a phone does not trust what was renewed: %v", err)
	}
}

// TestTheAuthorityIsHeldToThisMachine reads its constraints.
func TestTheAuthorityIsHeldToThisMachine(t *testing.T) {
	dir := t.TempDir()
	_, err := server.SelfMade(dir, today)
	must(t, err)
	data, err := server.Authority(dir)
	must(t, err)
	pool := trusting(t, dir)
	if pool == nil || len(data) == 0 {
		t.Fatal("no authority")
	}
	pair, err := tls.LoadX509KeyPair(filepath.Join(dir, "authority.pem"), filepath.Join(dir, "authority-key.pem"))
	must(t, err)
	cert, err := x509.ParseCertificate(pair.Certificate[0])
	must(t, err)
	if !cert.IsCA || !cert.MaxPathLenZero || !cert.PermittedDNSDomainsCritical || len(cert.PermittedDNSDomains) == 0 {
		t.Errorf("it may speak for %v, authority %v", cert.PermittedDNSDomains, cert.IsCA)
	}
	for _, r := range cert.PermittedIPRanges {
		if r.Contains(net.IPv4(192, 0, 2, 1)) {
			t.Errorf("it may speak for %s", r)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "authority.pem"), []byte("nothing"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := server.SelfMade(dir, today); err == nil {
		t.Error("a spoilt authority is taken")
	}
}

func TestThePhonePage(t *testing.T) {
	h := smallHouse(t)
	if a := h.get("/phone"); !a.says("did not come over a secure address") || !a.says("--tls-self") {
		t.Error("the page does not say what is held back, and how to get it")
	}
	if a := h.get("/certificate"); a.status != http.StatusNotFound || !a.says("--tls-self") {
		t.Errorf("a certificate that is not there: status %d", a.status)
	}
}

func TestTheCertificateCanBeDownloaded(t *testing.T) {
	dir := t.TempDir()
	_, err := server.SelfMade(dir, today)
	must(t, err)
	authority, err := server.Authority(dir)
	must(t, err)
	h := smallHouse(t)
	h.app, err = server.New(h.book, server.Options{Authority: authority, Log: slog.New(slog.DiscardHandler)})
	must(t, err)
	a := h.get("/certificate")
	if a.status != http.StatusOK || a.body != string(authority) || a.header.Get("Content-Type") != "application/x-x509-ca-cert" {
		t.Errorf("status %d, %v", a.status, a.header)
	}
	if page := h.get("/phone"); !strings.Contains(page.body, `href="/certificate"`) {
		t.Error("the page for phones does not lead to it")
	}
}
