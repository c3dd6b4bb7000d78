package keep

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/journal"
)

// BackUp makes a backup now, verifies it and lets the oldest go. What became of
// it is remembered, whether it went well or not.
func (k *Keeper) BackUp() (Backup, error) {
	k.making.Lock()
	defer k.making.Unlock()
	b := Backup{At: k.now().Round(0)}
	err := k.make(&b)
	if err != nil {
		b.File, b.Problem = "", err.Error()
		return b, errors.Join(fmt.Errorf("no backup was made: %w", err), k.remember(b))
	}
	return b, errors.Join(k.remember(b), k.prune())
}

// make writes a copy under a scratch name, verifies it and gives it its name.
func (k *Keeper) make(b *Backup) error {
	if err := os.MkdirAll(k.plan.Dir, 0o700); err != nil {
		return err
	}
	f, err := os.CreateTemp(k.plan.Dir, ".croze-*.new")
	if err != nil {
		return err
	}
	scratch := f.Name()
	defer os.Remove(scratch) // there only if something failed
	err = k.journal.Backup(f)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return err
	}
	found, err := restored(scratch)
	if err != nil {
		return err
	}
	if found.Problem != "" {
		return fmt.Errorf("the copy is not sound: %s", found.Problem)
	}
	info, err := os.Stat(scratch)
	if err != nil {
		return err
	}
	b.Bytes, b.Entries, b.Head, b.VerifiedAt = info.Size(), found.Entries, found.Head, k.now().Round(0)
	b.File, err = nameIt(scratch, k.plan.Dir, b.At)
	return err
}

// restored puts a copy into a folder of its own under the store's name, as a
// person does who restores it, and checks it from end to end.
func restored(copied string) (found book.Findings, err error) {
	dir, err := os.MkdirTemp("", "croze-restored-")
	if err != nil {
		return found, err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, journal.FileName)
	if err := copyFile(path, copied); err != nil {
		return found, err
	}
	s, err := journal.OpenReadOnly(path)
	if err != nil {
		return found, err
	}
	found, err = book.Verify(s)
	return found, errors.Join(err, s.Close())
}

func copyFile(to, from string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}

// nameIt gives a verified copy its name, the time in UTC, and never the place
// of another file.
func nameIt(scratch, dir string, at time.Time) (string, error) {
	for n := 1; ; n++ {
		name := fileName(at, n)
		err := os.Link(scratch, filepath.Join(dir, name))
		if errors.Is(err, os.ErrExist) {
			continue
		}
		if err != nil { // a folder without hard links
			if _, there := os.Lstat(filepath.Join(dir, name)); there == nil {
				continue
			}
			err = os.Rename(scratch, filepath.Join(dir, name))
		}
		return name, errors.Join(err, syncFolder(dir))
	}
}

// syncFolder puts the folder's names onto the disk.
func syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
