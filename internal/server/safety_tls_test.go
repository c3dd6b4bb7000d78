package server_test

import (
	"crypto/tls"
	"net"
	"testing"

	"example.org/croze/internal/server"
)

// handshake tries one with a client that knows no version above most.
func handshake(config *tls.Config, most uint16) error {
	here, there := net.Pipe()
	defer here.Close()
	served := make(chan error, 1)
	go func() {
		served <- tls.Server(there, config).Handshake()
		there.Close()
	}()
	client := tls.Client(here, &tls.Config{InsecureSkipVerify: true, MinVersion: tls.VersionTLS10, MaxVersion: most})
	err := client.Handshake()
	here.Close()
	<-served
	return err
}

func TestOldTLSIsRefused(t *testing.T) {
	config, err := server.SelfMade(t.TempDir(), today)
	must(t, err)
	for version, good := range map[uint16]bool{tls.VersionTLS11: false, tls.VersionTLS12: true, tls.VersionTLS13: true} {
		if err := handshake(config, version); (err == nil) != good {
			t.Errorf("%s: %v", tls.VersionName(version), err)
		}
	}
}
