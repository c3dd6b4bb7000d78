package journal

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
)

// Snapshot makes a copy of the store in dir as it is at this moment, whether
// or not another process has it open, and returns the copy's path, for
// OpenReadOnly, and what takes it away again. If another process has the store
// and gives no copies, the error is ErrInUse.
func Snapshot(dir string) (path string, cleanup func(), err error) {
	scratch, err := os.MkdirTemp("", "croze-")
	if err != nil {
		return "", nil, err
	}
	cleanup = func() { _ = os.RemoveAll(scratch) }
	path = filepath.Join(scratch, FileName)
	if err := copyTo(path, dir); err != nil {
		cleanup()
		return "", nil, err
	}
	return path, cleanup, nil
}

// copyTo writes a copy of the store in dir to a new file.
func copyTo(path, dir string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	return errors.Join(copyFrom(f, dir), f.Close())
}

// copyFrom takes the copy from the file, or else from the process that has it open.
func copyFrom(w io.Writer, dir string) error {
	s, err := OpenReadOnly(filepath.Join(dir, FileName))
	if err == nil {
		return errors.Join(s.Backup(w), s.Close())
	}
	if !errors.Is(err, ErrInUse) {
		return err
	}
	if errAsked := askForCopy(w, filepath.Join(dir, SocketName)); errAsked != nil {
		return fmt.Errorf("%w (and it gave no copy: %w): wait until it has finished, or stop it", err, errAsked)
	}
	return nil
}

// askForCopy writes what the process behind a socket answers.
func askForCopy(w io.Writer, socket string) error {
	dial := func(ctx context.Context, _, _ string) (conn net.Conn, err error) {
		err = withShortName(socket, func(short string) error {
			conn, err = new(net.Dialer).DialContext(ctx, "unix", short)
			return err
		})
		return conn, err
	}
	client := &http.Client{Transport: &http.Transport{DialContext: dial, DisableKeepAlives: true}, Timeout: copyLimit}
	answer, err := client.Get("http://croze/copy")
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("it answered %s", answer.Status)
	}
	_, err = io.Copy(w, answer.Body)
	return err
}
