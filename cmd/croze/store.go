package main

import (
	"crypto/rand"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"github.com/oklog/ulid/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/journal"
)

func dataFlag(f *flag.FlagSet) *string {
	return f.String("data", "", "`DIR` of the store")
}

// edge is the world as a book sees it.
func (w world) edge() book.Edge {
	return book.Edge{Now: w.now, NewID: func(t time.Time) string {
		return ulid.MustNew(ulid.Timestamp(t), rand.Reader).String()
	}}
}

// storeFile returns the path of the store's file, and whether it is there.
func storeFile(dir string) (path string, there bool, err error) {
	if dir == "" {
		return "", false, errors.New("--data: is missing: say in which folder the store is")
	}
	path = filepath.Join(dir, journal.FileName)
	_, err = os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return path, false, nil
	case errors.Is(err, syscall.ENOTDIR):
		err = fmt.Errorf("--data: %q: it is a file, not a folder", dir)
	}
	return path, err == nil, err
}

// needStore is storeFile for commands that make none.
func needStore(dir string) (path string, err error) {
	path, there, err := storeFile(dir)
	if err == nil && !there {
		err = fmt.Errorf("--data: %q: there is no store here: croze import or croze serve makes one", dir)
	}
	return path, err
}

// reading lets a function read the journal in dir as it is at this moment,
// whether or not a server has it open.
func reading(dir string, look func(journal.Journal) error) error {
	if _, err := needStore(dir); err != nil {
		return err
	}
	path, cleanup, err := journal.Snapshot(dir)
	if err != nil {
		return err
	}
	defer cleanup()
	s, err := journal.OpenReadOnly(path)
	if err != nil {
		return err
	}
	return errors.Join(look(s), s.Close())
}

// seeing shows the book in dir at a moment.
func (w world) seeing(dir string, m book.Moment, look func(*book.View) error) error {
	return reading(dir, func(j journal.Journal) error {
		b, err := book.Open(j, w.edge())
		if err != nil {
			return err
		}
		return b.See(m, look)
	})
}

// writing opens the store in dir, which must be there, for a function that
// adds to it.
func (w world) writing(dir string, do func(*book.Book) error) error {
	path, err := needStore(dir)
	if err != nil {
		return err
	}
	s, err := journal.Open(path)
	if err != nil {
		return err
	}
	b, err := book.Open(s, w.edge())
	if err == nil {
		err = do(b)
		b.Wait()
	}
	return errors.Join(err, s.Close())
}

// makeFolder makes a folder, with those above it, and returns what takes away
// again what it made.
func makeFolder(dir string) (undo func(), err error) {
	var made []string
	for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
		if _, err := os.Stat(d); !errors.Is(err, fs.ErrNotExist) {
			break
		}
		made = append(made, d)
	}
	undo = func() {
		for _, d := range made {
			_ = os.Remove(d) // only if it is empty
		}
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		undo()
		return nil, err
	}
	return undo, nil
}
