package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// FileName is the name of the store's file in a data folder.
const FileName = "croze.db"

// Format is the number of the file's form that this program writes.
const Format = 1

const (
	lockWait = time.Second // how long to wait for another process to let the file go
	pageSize = 4096        // the same on every machine, so that files can be moved
	growBy   = 256 << 10   // bytes by which the file grows
	firstMap = 256 << 20   // address space kept for the file, so that readers do not hold up its growing
)

// Open opens the store at path for reading and appending, and makes it if
// there is none. The error is ErrInUse if another process has it open,
// ErrNewer if a newer program wrote it, ErrNotStore or a *DamageError if it is
// not what this program writes, and one of os otherwise.
func Open(path string) (*Store, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		if err := create(path); err != nil {
			return nil, fmt.Errorf("cannot make the store %s: %w", path, err)
		}
	}
	return open(path, false)
}

// OpenReadOnly opens the store at path without changing anything. Several
// processes may do so together, but not while one has it open for writing:
// Snapshot is for that.
func OpenReadOnly(path string) (*Store, error) { return open(path, true) }

func open(path string, readOnly bool) (*Store, error) {
	s, err := openFile(path, readOnly)
	if err == nil {
		if err = s.inspect(); err == nil && !readOnly {
			err = s.readyToWrite()
		}
		if err != nil {
			err = errors.Join(err, s.Close())
		}
	}
	if err != nil {
		return nil, fmt.Errorf("cannot open the store %s: %w", path, err)
	}
	return s, nil
}

// openFile locks and maps the file.
func openFile(path string, readOnly bool) (*Store, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%w: it is not a file", ErrNotStore)
	}
	if info.Size() == 0 {
		return nil, fmt.Errorf("%w: the file is empty: if it once had entries, take the last good backup, else remove it", ErrNotStore)
	}
	s := &Store{path: path}
	panicked, err := guarded(func() (err error) {
		s.db, err = bbolt.Open(path, 0o600, s.options(readOnly))
		return err
	})
	if panicked && s.file != nil {
		err = errors.Join(err, letGo(s.file))
	}
	if err != nil {
		return nil, openingError(err)
	}
	s.db.AllocSize = growBy
	return s, nil
}

func (s *Store) options(readOnly bool) *bbolt.Options {
	return &bbolt.Options{
		Timeout: lockWait, ReadOnly: readOnly, PageSize: pageSize, InitialMmapSize: firstMap,
		PreLoadFreelist: true, NoStatistics: true, FreelistType: bbolt.FreelistMapType,
		OpenFile: func(name string, flag int, mode os.FileMode) (f *os.File, err error) {
			s.file, err = os.OpenFile(name, flag&^os.O_CREATE, mode)
			return s.file, err
		},
	}
}

// openingError gives bbolt's errors words that say what to do.
func openingError(err error) error {
	switch {
	case errors.Is(err, berrors.ErrTimeout):
		return fmt.Errorf("%w, probably a `croze serve`: stop that one first, or do this on its pages", ErrInUse)
	case errors.Is(err, berrors.ErrInvalid), errors.Is(err, berrors.ErrVersionMismatch), errors.Is(err, berrors.ErrChecksum):
		return fmt.Errorf("%w, or its beginning is damaged: take the last good backup (%w)", ErrNotStore, err)
	}
	return err
}

// create makes an empty store under another name and moves it into place when
// it is whole, so that a power cut leaves either no store or a good one.
func create(path string) error {
	scratch, err := newFile(filepath.Dir(path))
	if err != nil {
		return err
	}
	defer os.Remove(scratch) // its second name, unless the first failed
	if err := moveNew(scratch, path); !errors.Is(err, fs.ErrExist) {
		return err
	}
	return nil // another process was quicker: its store is there to be opened
}

// newFile makes an empty store under a name of its own in dir.
func newFile(dir string) (path string, err error) {
	f, err := os.CreateTemp(dir, ".croze-*.new")
	if err != nil {
		return "", err
	}
	defer func() {
		if err != nil {
			os.Remove(f.Name())
		}
	}()
	if err := f.Close(); err != nil {
		return "", err
	}
	db, err := bbolt.Open(f.Name(), 0o600, &bbolt.Options{PageSize: pageSize, NoStatistics: true, Timeout: lockWait})
	if err != nil {
		return "", err
	}
	return f.Name(), errors.Join(db.Update(createBuckets), db.Close())
}

func createBuckets(tx *bbolt.Tx) error {
	for _, name := range [][]byte{bucketStore, bucketEntries, bucketIDs, bucketAside} {
		if _, err := tx.CreateBucket(name); err != nil {
			return err
		}
	}
	return tx.Bucket(bucketStore).Put(keyFormat, []byte(strconv.Itoa(Format)))
}

// moveNew gives the file at from the name to. The error is fs.ErrExist if
// there is a file of that name by then.
func moveNew(from, to string) error {
	err := os.Link(from, to)
	if err != nil && !errors.Is(err, fs.ErrExist) {
		// Some file systems have no links. Only a second process that makes the
		// same store in this very moment could still be in the way.
		err = os.Rename(from, to)
	}
	if err != nil {
		return err
	}
	return syncFolder(filepath.Dir(to))
}

// syncFolder makes new names in a folder durable.
func syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
