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

// copyTo writes a copy of the store in dir to path. A process that has the
// store is asked first, because waiting for it to let the file go takes time.
func copyTo(path, dir string) error {
	asked := writeTo(path, func(w io.Writer) error { return askForCopy(w, filepath.Join(dir, SocketName)) })
	if asked == nil {
		return nil
	}
	err := writeTo(path, func(w io.Writer) error { return copyFile(w, filepath.Join(dir, FileName)) })
	if errors.Is(err, ErrInUse) {
		return fmt.Errorf("%w (it gave no copy: %w): wait until it has finished", err, asked)
	}
	return err
}

// writeTo makes the file at path hold what fill writes, on the disk.
func writeTo(path string, fill func(io.Writer) error) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	return errors.Join(fill(f), f.Sync(), f.Close())
}

// copyFile writes a copy of a store that no process has open.
func copyFile(w io.Writer, path string) error {
	s, err := OpenReadOnly(path)
	if err != nil {
		return err
	}
	return errors.Join(s.Backup(w), s.Close())
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
