package journal

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"go.etcd.io/bbolt"
)

// storeIn returns a store in a data folder, with entries.
func storeIn(t *testing.T, dir string, n int) *Store {
	t.Helper()
	s, err := Open(filepath.Join(dir, FileName))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	mustAppend(t, s, drafts(0, n)...)
	return s
}

// serve gives copies of j from dir until the returned function is called.
func serve(t *testing.T, dir string, j Journal) (stop func()) {
	t.Helper()
	listener, err := listenIn(filepath.Join(dir, SocketName))
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	var wg sync.WaitGroup
	wg.Go(func() {
		if err := giveCopies(ctx, listener, j); err != nil {
			t.Errorf("giving copies: %v", err)
		}
	})
	stop = func() { cancel(); wg.Wait() }
	t.Cleanup(stop)
	return stop
}

// snapshot returns the entries of a snapshot, having checked it and that it
// leaves nothing behind.
func snapshot(t *testing.T, dir string) []Entry {
	t.Helper()
	path, cleanup, err := Snapshot(dir)
	if err != nil {
		t.Fatal(err)
	}
	s, err := OpenReadOnly(path)
	if err != nil {
		t.Fatal(err)
	}
	mustVerify(t, s)
	entries := all(t, s)
	s.Close()
	cleanup()
	if _, err := os.Stat(filepath.Dir(path)); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the copy is still there: %v", err)
	}
	return entries
}

func TestSnapshotOfAStoreThatNobodyHas(t *testing.T) {
	dir := t.TempDir()
	s := storeIn(t, dir, 10)
	want := all(t, s)
	s.Close()
	wantEntries(t, snapshot(t, dir), want)
}

func TestSnapshotOfAServedStore(t *testing.T) {
	long := filepath.Join(t.TempDir(), strings.Repeat("cold store ", 12), strings.Repeat("shelf ", 12))
	if err := os.MkdirAll(long, 0o700); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{t.TempDir(), long} {
		s := storeIn(t, dir, 10)
		stop := serve(t, dir, s)
		wantEntries(t, snapshot(t, dir), all(t, s))
		info, err := os.Stat(filepath.Join(dir, SocketName))
		if err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("the socket is %v: %v", info.Mode(), err)
		}
		mustAppend(t, s, draft(99))
		wantEntries(t, snapshot(t, dir), all(t, s))
		stop()
	}
}

// TestSnapshotsWhileAppending takes copies while others append: each must be a
// whole beginning of the journal, as long as it was when the copy was asked for.
func TestSnapshotsWhileAppending(t *testing.T) {
	dir := t.TempDir()
	s := storeIn(t, dir, 5)
	serve(t, dir, s)
	done := make(chan struct{})
	var wg sync.WaitGroup
	wg.Go(func() {
		for n := 5; ; n++ {
			select {
			case <-done:
				return
			default:
				mustAppend(t, s, draft(n))
			}
		}
	})
	for range 15 {
		head, err := s.Head()
		if err != nil {
			t.Fatal(err)
		}
		if got := snapshot(t, dir); uint64(len(got)) < head.Seq {
			t.Errorf("the copy has %d entries of %d", len(got), head.Seq)
		}
	}
	close(done)
	wg.Wait()
}

func TestSnapshotThatCannotBe(t *testing.T) {
	dir := t.TempDir()
	_, _, err := Snapshot(dir)
	wantWords(t, "no store", err, os.ErrNotExist, dir)

	s := storeIn(t, dir, 3)
	_, _, err = Snapshot(dir)
	wantWords(t, "a holder that gives no copies", err, ErrInUse, "gave no copy")

	stop := serve(t, dir, halfBackup{s})
	_, _, err = Snapshot(dir)
	wantWords(t, "a copy that is broken off", err, ErrInUse, "gave no copy", "EOF")
	stop()
	s.Close()
	if got := snapshot(t, dir); len(got) != 3 { // the socket that was left is in nobody's way
		t.Errorf("%d entries after the holder has gone", len(got))
	}
}

// halfBackup is a journal whose backups fail half way.
type halfBackup struct{ Journal }

func (h halfBackup) Backup(w io.Writer) error {
	var whole bytes.Buffer
	if err := h.Journal.Backup(&whole); err != nil {
		return err
	}
	_, err := w.Write(whole.Bytes()[:whole.Len()/2])
	return errors.Join(err, errors.New("the disk failed"))
}

func TestServeCopiesCleansUp(t *testing.T) {
	dir := t.TempDir()
	s := storeIn(t, dir, 3)
	socket := filepath.Join(dir, SocketName)
	if err := os.WriteFile(socket, nil, 0o600); err != nil { // as a killed process leaves it
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := ServeCopies(ctx, dir, s); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(socket); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the socket is still there: %v", err)
	}
	err := ServeCopies(context.Background(), filepath.Join(dir, "nowhere"), s)
	wantWords(t, "no folder", err, nil, "nowhere", "cannot give copies")
}

func TestBackupFile(t *testing.T) {
	dir, to := t.TempDir(), t.TempDir()
	s := storeIn(t, dir, 10)
	serve(t, dir, s)
	path := filepath.Join(to, "monday.db")
	head, err := BackupFile(dir, path)
	if err != nil {
		t.Fatal(err)
	}
	if want, _ := s.Head(); head != want {
		t.Errorf("head is %v, want %v", head, want)
	}
	backup, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	wantExport(t, backup, exported(t, s))
	backup.Close()

	_, err = BackupFile(dir, path)
	wantWords(t, "the same name again", err, nil, path, "choose another")
	_, err = BackupFile(dir, filepath.Join(to, "nowhere", "monday.db"))
	wantWords(t, "no folder", err, os.ErrNotExist, "nowhere")
	_, err = BackupFile(to, filepath.Join(to, "tuesday.db"))
	wantWords(t, "no store", err, os.ErrNotExist, to)
	if left, err := os.ReadDir(to); err != nil || len(left) != 1 {
		t.Errorf("beside the backup there are %v, %v", left, err)
	}
}

func TestBackupFileOfADamagedStore(t *testing.T) {
	dir, to := t.TempDir(), t.TempDir()
	s := storeIn(t, dir, 10)
	s.Close()
	inBolt(t, s.Path(), func(tx *bbolt.Tx) error { return tx.Bucket(bucketEntries).Delete(seqKey(4)) })
	_, err := BackupFile(dir, filepath.Join(to, "monday.db"))
	wantWords(t, "a damaged store", err, nil, "not kept", "entry 4")
	wantEmpty(t, "a damaged store", to)
}
