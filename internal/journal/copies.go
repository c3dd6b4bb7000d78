package journal

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"time"
)

// SocketName is the name, in a data folder, of the socket over which the
// process that has the store open gives copies of it.
const SocketName = "croze.sock"

// copyLimit is the longest time that giving one copy may take, so that a
// reader that hangs does not hold the store for ever.
const copyLimit = 5 * time.Minute

// ServeCopies gives a consistent copy of j to every Snapshot of dir, until ctx
// is done. The process that calls it has the store in dir open. Only the user
// who runs that process can ask; nothing listens on the network.
func ServeCopies(ctx context.Context, dir string, j Journal) error {
	path := filepath.Join(dir, SocketName)
	listener, err := listenIn(path)
	if err != nil {
		return fmt.Errorf("cannot give copies of the store in %s: %w", dir, err)
	}
	defer os.Remove(path)
	return giveCopies(ctx, listener, j)
}

// giveCopies answers on a listener, which it closes, until ctx is done. Nobody
// uses j through it when it has returned.
func giveCopies(ctx context.Context, listener net.Listener, j Journal) error {
	var giving sync.RWMutex
	defer giving.Lock() // for ever
	server := &http.Server{Handler: copyHandler(j, &giving), ReadHeaderTimeout: time.Second, WriteTimeout: copyLimit}
	stop := context.AfterFunc(ctx, func() { _ = server.Close() })
	defer stop()
	if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// copyHandler answers with the bytes of a backup. A backup that fails half way
// breaks the answer off, which the reader sees.
func copyHandler(j Journal, giving *sync.RWMutex) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !giving.TryRLock() {
			panic(http.ErrAbortHandler)
		}
		defer giving.RUnlock()
		if r.Method != http.MethodGet || r.URL.Path != "/copy" {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("Content-Type", "application/octet-stream")
		if err := j.Backup(w); err != nil {
			panic(http.ErrAbortHandler)
		}
	})
}

// listenIn listens on a socket that only this user may use. A socket that is
// there already was left by a process that was killed, since the store is ours.
func listenIn(path string) (net.Listener, error) {
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	var listener net.Listener
	err := withShortName(path, func(short string) (err error) {
		listener, err = net.Listen("unix", short)
		return err
	})
	if err != nil {
		return nil, err
	}
	listener.(*net.UnixListener).SetUnlinkOnClose(false) // it knows the short name only
	if err := os.Chmod(path, 0o600); err != nil {
		return nil, errors.Join(err, listener.Close())
	}
	return listener, nil
}

// withShortName calls f with a name of the same file that fits into a socket
// address, which holds about a hundred bytes.
func withShortName(path string, f func(short string) error) error {
	const most = 100
	if len(path) <= most {
		return f(path)
	}
	dir, err := filepath.Abs(filepath.Dir(path))
	if err != nil {
		return err
	}
	scratch, err := os.MkdirTemp("", "croze-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(scratch)
	link := filepath.Join(scratch, "d")
	if err := os.Symlink(dir, link); err != nil {
		return err
	}
	return f(filepath.Join(link, filepath.Base(path)))
}
