package server

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"time"
)

// Phones take a certificate of one's own only as that of an authority, which
// could then speak for any site. This one is held to the machine's names and
// to private addresses by its own constraints (RFC 5280, 4.2.1.10), so that
// whoever steals its key gains nothing elsewhere. It signs the certificate
// that is served, which can be made anew when the machine gets another address
// without telling the phones anything.
const (
	authorityFile    = "authority.pem"
	authorityKeyFile = "authority-key.pem"
	authorityLife    = 10 * 365 * 24 * time.Hour
)

// privateRanges are addresses that no one on the net outside can have.
var privateRanges = []string{
	"127.0.0.0/8", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "::1/128", "fc00::/7", "fe80::/10",
}

// authority is the store's own: a certificate to trust and the key to sign with.
type authority struct {
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
}

// Authority returns the certificate, PEM, that phones are told to trust for
// what SelfMade made in dir.
func Authority(dir string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, authorityFile)) }

// theAuthority reads the authority of a folder, or makes it.
func theAuthority(dir string, now time.Time) (authority, error) {
	certPEM, err := Authority(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return makeAuthority(dir, now)
	}
	if err != nil {
		return authority{}, err
	}
	keyPEM, err := os.ReadFile(filepath.Join(dir, authorityKeyFile))
	if err != nil {
		return authority{}, err
	}
	return readAuthority(certPEM, keyPEM)
}

func readAuthority(certPEM, keyPEM []byte) (authority, error) {
	certBlock, _ := pem.Decode(certPEM)
	keyBlock, _ := pem.Decode(keyPEM)
	if certBlock == nil || keyBlock == nil {
		return authority{}, fmt.Errorf("%s and %s: not PEM files: take both away to have new ones made", authorityFile, authorityKeyFile)
	}
	cert, err := x509.ParseCertificate(certBlock.Bytes)
	if err != nil {
		return authority{}, err
	}
	key, err := x509.ParsePKCS8PrivateKey(keyBlock.Bytes)
	if err != nil {
		return authority{}, err
	}
	signing, ok := key.(*ecdsa.PrivateKey)
	if !ok {
		return authority{}, fmt.Errorf("%s: not a key of the kind that the program makes", authorityKeyFile)
	}
	return authority{cert, signing}, nil
}

func makeAuthority(dir string, now time.Time) (authority, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return authority{}, err
	}
	template, err := newCertificate("Croze on this machine", now, authorityLife)
	if err != nil {
		return authority{}, err
	}
	template.IsCA, template.MaxPathLenZero = true, true
	template.KeyUsage = x509.KeyUsageCertSign | x509.KeyUsageDigitalSignature
	template.PermittedDNSDomainsCritical = true
	template.PermittedDNSDomains = hostNames()
	template.PermittedIPRanges = permittedRanges()
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		return authority{}, err
	}
	if err := writeKey(filepath.Join(dir, authorityKeyFile), key); err != nil {
		return authority{}, err
	}
	if err := writePEM(filepath.Join(dir, authorityFile), "CERTIFICATE", der, 0o644); err != nil {
		return authority{}, err
	}
	cert, err := x509.ParseCertificate(der)
	return authority{cert, key}, err
}

// permittedRanges are the private ranges and what this machine has besides.
func permittedRanges() []*net.IPNet {
	var ranges []*net.IPNet
	for _, text := range privateRanges {
		_, r, err := net.ParseCIDR(text)
		if err != nil {
			panic(err) // they are written above
		}
		ranges = append(ranges, r)
	}
	for _, ip := range machineAddresses() {
		bits := 8 * net.IPv6len
		if v4 := ip.To4(); v4 != nil {
			ip, bits = v4, 8*net.IPv4len
		}
		ranges = append(ranges, &net.IPNet{IP: ip, Mask: net.CIDRMask(bits, bits)})
	}
	return ranges
}

func newCertificate(name string, now time.Time, life time.Duration) (*x509.Certificate, error) {
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 120))
	return &x509.Certificate{
		SerialNumber: serial, Subject: pkix.Name{CommonName: name},
		NotBefore: now.Add(-time.Hour), NotAfter: now.Add(life), BasicConstraintsValid: true,
	}, err
}

func writeKey(path string, key *ecdsa.PrivateKey) error {
	data, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return err
	}
	return writePEM(path, "PRIVATE KEY", data, 0o600)
}
