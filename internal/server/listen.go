package server

import (
	"context"
	"crypto/tls"
	"fmt"
	"net"

	"github.com/gofiber/fiber/v2"
)

// CheckAddress refuses to listen beyond this machine while no password is set.
func CheckAddress(address string, passwordSet bool) error {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return fmt.Errorf("listen: %q: write HOST:PORT or :PORT", address)
	}
	if passwordSet || onlyHere(host) {
		return nil
	}
	return fmt.Errorf("listen: %q: other machines could open the store, and it has no password: set one with croze password, or listen on 127.0.0.1", address)
}

func onlyHere(host string) bool {
	if host == "localhost" {
		return true
	}
	ip := net.ParseIP(host)
	return ip != nil && ip.IsLoopback()
}

// Serve serves until ctx is done, then finishes what was accepted. ready is
// told the address once it is open.
func Serve(ctx context.Context, app *fiber.App, address string, secure *tls.Config, ready func(net.Addr)) error {
	listener, err := net.Listen("tcp", address)
	if err != nil {
		return fmt.Errorf("listen: %q: %w", address, err)
	}
	ready(listener.Addr())
	if secure != nil {
		listener = tls.NewListener(listener, secure)
	}
	stopped := make(chan error, 1)
	stop := context.AfterFunc(ctx, func() { stopped <- app.ShutdownWithTimeout(longestWriting) })
	defer stop()
	if err := app.Listener(listener); err != nil {
		return err
	}
	if ctx.Err() != nil {
		return <-stopped
	}
	return nil
}
