//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package journal

import (
	"errors"
	"os"
	"syscall"
)

// letGo closes a file that bbolt cannot close any more. Its memory map stays,
// and would keep the lock: so that is given back first.
func letGo(f *os.File) error {
	return errors.Join(syscall.Flock(int(f.Fd()), syscall.LOCK_UN), f.Close())
}
