package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// BackupFile writes a copy of the store in dir to a new file, whether or not
// another process has the store open, and returns the copy's head. The copy is
// on the disk and has been read through and verified before it gets its name;
// after an error there is no file of that name.
func BackupFile(dir, path string) (head Head, err error) {
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return Head{}, fmt.Errorf("cannot write the backup %s: there is something by that name: choose another", path)
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".croze-*.new")
	if err != nil {
		return Head{}, fmt.Errorf("cannot write the backup %s: %w", path, err)
	}
	scratch := f.Name()
	defer os.Remove(scratch)
	if err := errors.Join(f.Close(), copyTo(scratch, dir)); err != nil {
		return Head{}, err
	}
	if head, err = verifyFile(scratch); err != nil {
		return Head{}, fmt.Errorf("the backup of %s was not kept: %w", dir, err)
	}
	return head, moveNew(scratch, path)
}

// verifyFile reads a copy through.
func verifyFile(path string) (head Head, err error) {
	s, err := OpenReadOnly(path)
	if err != nil {
		return Head{}, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if err := Verify(s); err != nil {
		return Head{}, err
	}
	return s.Head()
}
