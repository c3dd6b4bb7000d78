package journal

import (
	"bytes"
	"errors"
	"io"
	"os"
	"testing"

	"go.etcd.io/bbolt"
)

// TestFileDamagedWhileOpen spoils the file under an open store, as a failing
// disk does. Every call must come back, no append may be acknowledged, and
// closing must let the file go.
func TestFileDamagedWhileOpen(t *testing.T) {
	for name, spoil := range map[string]func(*os.File, int64) error{
		"cut off": func(f *os.File, _ int64) error { return f.Truncate(2 * pageSize) },
		"zeros":   func(f *os.File, size int64) error { return overwrite(f, size, 0) },
		"ones":    func(f *os.File, size int64) error { return overwrite(f, size, 0xff) },
	} {
		s := newStore(t)
		for n := range 30 {
			mustAppend(t, s, draft(n))
		}
		head, err := s.Head()
		if err != nil {
			t.Fatal(err)
		}
		spoilFile(t, s.Path(), spoil)
		for call, err := range map[string]error{
			"read":   s.Read(1, func(Entry) error { return nil }),
			"verify": Verify(s),
			"append": func() error { _, err := s.Append(head, draft(99)); return err }(),
			"put":    s.Put("x", []byte("y")),
			"again":  func() error { _, err := s.Append(head, draft(99)); return err }(),
		} {
			if err == nil {
				t.Errorf("%s: %s is content", name, call)
			}
		}
		if err := s.Backup(io.Discard); err == nil && name == "cut off" {
			t.Errorf("%s: the backup is content", name)
		}
		if err := s.Close(); err != nil {
			t.Errorf("%s: closing: %v", name, err)
		}
		if _, err := Open(s.Path()); err == nil || errors.Is(err, ErrInUse) {
			t.Errorf("%s: opening it again: %v", name, err)
		}
	}
}

// TestPanicInACommit makes the store panic in the middle of a write: it must
// take nothing more, and still close.
func TestPanicInACommit(t *testing.T) {
	s := newStore(t)
	mustAppend(t, s, draft(0))
	head, _ := s.Head()
	entries := link(head, []Draft{draft(1)})
	s.writing.Lock()
	err := s.update(func(tx *bbolt.Tx) error {
		if err := putEntries(tx, entries); err != nil {
			return err
		}
		panic("a page makes no sense")
	})
	s.writing.Unlock()
	var damage *DamageError
	if !errors.As(err, &damage) {
		t.Fatalf("the error is %v", err)
	}
	_, errAppend := s.Append(head, draft(2))
	_, errHead := s.Head()
	for call, err := range map[string]error{"append": errAppend, "head": errHead, "put": s.Put("x", nil)} {
		if !errors.As(err, &damage) {
			t.Errorf("%s after it: %v", call, err)
		}
	}
	if err := errors.Join(s.Close(), s.Close()); err != nil {
		t.Fatal(err)
	}
	wantHead(t, s.Path(), head)
}

func spoilFile(t *testing.T, path string, spoil func(*os.File, int64) error) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	info, err := f.Stat()
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(spoil(f, info.Size()), f.Close()); err != nil {
		t.Fatal(err)
	}
}

func overwrite(f *os.File, size int64, with byte) error {
	_, err := f.WriteAt(bytes.Repeat([]byte{with}, int(size)-2*pageSize), 2*pageSize)
	return err
}
