package server

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"time"
)

// Names of the self-made certificate and its key in the data folder.
const (
	certificateFile = "certificate.pem"
	keyFile         = "certificate-key.pem"
	certificateLife = 820 * 24 * time.Hour // phones refuse longer ones
)

// renewBefore its end a certificate is made anew.
const renewBefore = 60 * 24 * time.Hour

// SelfMade returns a certificate for the names and addresses of this machine,
// signed by an authority of the store's own; both are made at the first call
// and kept in dir. Phones must be told once to trust the authority. The
// certificate is made anew when it nears its end or the machine has another
// address.
func SelfMade(dir string, now time.Time) (*tls.Config, error) {
	own, err := theAuthority(dir, now)
	if err != nil {
		return nil, err
	}
	certPath, keyPath := filepath.Join(dir, certificateFile), filepath.Join(dir, keyFile)
	if !serves(own, certPath, now) {
		if err := makeCertificate(own, certPath, keyPath, now); err != nil {
			return nil, err
		}
	}
	return Certificate(certPath, keyPath)
}

// serves says whether the certificate there can still be served.
func serves(own authority, path string, now time.Time) bool {
	data, err := os.ReadFile(path)
	block, _ := pem.Decode(data)
	if err != nil || block == nil {
		return false
	}
	cert, err := x509.ParseCertificate(block.Bytes)
	if err != nil || cert.CheckSignatureFrom(own.cert) != nil || now.Add(renewBefore).After(cert.NotAfter) {
		return false
	}
	for _, ip := range machineAddresses() {
		if cert.VerifyHostname(ip.String()) != nil {
			return false
		}
	}
	return true
}

// Certificate reads a certificate and its key from PEM files.
func Certificate(certPath, keyPath string) (*tls.Config, error) {
	pair, err := tls.LoadX509KeyPair(certPath, keyPath)
	if err != nil {
		return nil, err
	}
	return &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}, nil
}

func makeCertificate(own authority, certPath, keyPath string, now time.Time) error {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return err
	}
	template, err := newCertificate("Croze", now, certificateLife)
	if err != nil {
		return err
	}
	template.KeyUsage, template.ExtKeyUsage = x509.KeyUsageDigitalSignature, []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}
	template.DNSNames, template.IPAddresses = hostNames(), machineAddresses()
	cert, err := x509.CreateCertificate(rand.Reader, template, own.cert, &key.PublicKey, own.key)
	if err != nil {
		return err
	}
	if err := writeKey(keyPath, key); err != nil {
		return err
	}
	return writePEM(certPath, "CERTIFICATE", cert, 0o644)
}

func writePEM(path, kind string, data []byte, mode fs.FileMode) error {
	return os.WriteFile(path, pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: data}), mode)
}

func hostNames() []string {
	names := []string{"localhost"}
	if host, err := os.Hostname(); err == nil {
		names = append(names, host, host+".local")
	}
	return names
}

func machineAddresses() []net.IP {
	addresses := []net.IP{net.IPv4(127, 0, 0, 1), net.IPv6loopback}
	all, err := net.InterfaceAddrs()
	if err != nil {
		return addresses
	}
	for _, a := range all {
		if ipNet, ok := a.(*net.IPNet); ok && !ipNet.IP.IsLoopback() {
			addresses = append(addresses, ipNet.IP)
		}
	}
	return addresses
}
