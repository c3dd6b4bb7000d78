//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package journal

import "os"

// letGo closes a file that bbolt cannot close any more.
func letGo(f *os.File) error { return f.Close() }
