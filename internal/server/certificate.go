package server

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"io/fs"
	"math/big"
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

// SelfMade returns a certificate for the names and addresses of this machine,
// made at the first call and kept in dir. Phones must be told to trust it once.
func SelfMade(dir string, now time.Time) (*tls.Config, error) {
	certPath, keyPath := filepath.Join(dir, certificateFile), filepath.Join(dir, keyFile)
	_, err := os.Stat(certPath)
	if errors.Is(err, fs.ErrNotExist) {
		err = makeCertificate(certPath, keyPath, now)
	}
	if err != nil {
		return nil, err
	}
	return Certificate(certPath, keyPath)
}

// Certificate reads a certificate and its key from PEM files.
func Certificate(certPath, keyPath string) (*tls.Config, error) {
	pair, err := tls.LoadX509KeyPair(certPath, keyPath)
	if err != nil {
		return nil, err
	}
	return &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}, nil
}

func makeCertificate(certPath, keyPath string, now time.Time) error {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return err
	}
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 120))
	if err != nil {
		return err
	}
	template := x509.Certificate{
		SerialNumber: serial, Subject: pkix.Name{CommonName: "Croze on this machine"},
		NotBefore: now.Add(-time.Hour), NotAfter: now.Add(certificateLife),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		BasicConstraintsValid: true, DNSNames: hostNames(), IPAddresses: machineAddresses(),
	}
	cert, err := x509.CreateCertificate(rand.Reader, &template, &template, &key.PublicKey, key)
	if err != nil {
		return err
	}
	keyBytes, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return err
	}
	if err := writePEM(keyPath, "PRIVATE KEY", keyBytes, 0o600); err != nil {
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
