package journal

import (
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"golang.org/x/sys/unix"
)

// TestNoRoomOnTheDisk lets a process with a limit on the size of its files
// append until the system refuses. taskFill checks what happens then.
func TestNoRoomOnTheDisk(t *testing.T) {
	for _, room := range []int{growBy + 40<<10, growBy + 44<<10 + 512} {
		path := filepath.Join(t.TempDir(), FileName)
		cmd, _, stdout := child(t, "fill", path, strconv.Itoa(room))
		said, err := io.ReadAll(stdout)
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Wait(); err != nil {
			t.Fatalf("%v, after saying %s", err, said)
		}
		refusal, count, _ := strings.Cut(strings.TrimSpace(string(said)), "\n")
		if !strings.Contains(refusal, "nothing was recorded") || !strings.Contains(refusal, "file too large") {
			t.Errorf("the refusal is %q", refusal)
		}
		s, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		mustVerify(t, s)
		if got := len(all(t, s)); strconv.Itoa(got) != count || got < 20 {
			t.Errorf("%d entries are there, %s were acknowledged", got, count)
		}
		s.Close()
	}
}

// replaceFile puts another file behind the store's descriptor until the
// returned function is called. The store's memory map stays as it is.
func replaceFile(t *testing.T, s *Store, other string, flag int) (restore func()) {
	t.Helper()
	kept, err := unix.Dup(int(s.file.Fd()))
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.OpenFile(other, flag, 0)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(unix.Dup2(int(f.Fd()), int(s.file.Fd())), f.Close()); err != nil {
		t.Fatal(err)
	}
	return func() {
		t.Helper()
		if err := errors.Join(unix.Dup2(kept, int(s.file.Fd())), unix.Close(kept)); err != nil {
			t.Fatal(err)
		}
	}
}

// TestDiskThatRefuses writes to a full device, to a descriptor that cannot be
// written to, and to a device that cannot be flushed: nothing is recorded,
// readers go on, and later the same append succeeds.
func TestDiskThatRefuses(t *testing.T) {
	for _, c := range []struct {
		name, file string
		flag       int
		want       error
	}{
		{"full", "/dev/full", os.O_RDWR, syscall.ENOSPC},
		{"not writable", "", os.O_RDONLY, syscall.EBADF},
		{"not flushed", "/dev/null", os.O_RDWR, syscall.EINVAL},
	} {
		s := newStore(t)
		for n := range 30 { // as many commits, so that there are free pages to write to
			mustAppend(t, s, draft(n))
		}
		want := all(t, s)
		head, _ := s.Head()
		if c.file == "" {
			c.file = s.Path()
		}
		restore := replaceFile(t, s, c.file, c.flag)
		_, err := s.Append(head, draft(30))
		wantWords(t, c.name, err, c.want, "nothing was recorded", "try again")
		wantWords(t, c.name, s.Put("x", []byte("y")), c.want, "nothing was recorded")
		wantEntries(t, all(t, s), want)
		restore()
		mustAppend(t, s, draft(30))
		mustVerify(t, s)
	}
}

// TestFailedFlush makes the flush at the end of a commit fail, when the header
// is written but may not be on the disk: the store takes nothing more until it
// is opened anew, because nobody can know what is on the disk.
func TestFailedFlush(t *testing.T) {
	s := newStore(t)
	mustAppend(t, s, drafts(0, 3)...)
	err := s.commitFailed(commitOf(t, s), syscall.EIO)
	wantWords(t, "the flush", err, syscall.EIO, "look at the disk", "safe")
	head, err := s.Head()
	if err != nil {
		t.Fatalf("reading after it: %v", err)
	}
	_, err = s.Append(head, draft(3))
	wantWords(t, "the next append", err, syscall.EIO, "start again")
	_, err = s.Append(head, draft(2)) // it is seen, but nobody knows whether it is on the disk
	wantWords(t, "a repeat", err, syscall.EIO, "start again")
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := Open(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	mustAppend(t, again, draft(3))
}

func commitOf(t *testing.T, s *Store) int {
	t.Helper()
	h, _, err := readHeaders(s.file, pageSize)
	if err != nil {
		t.Fatal(err)
	}
	return int(h.commit)
}

// TestPowerCut cuts the power in the middle of commits. What a disk may have
// kept then is made from the file before and after: before the first flush any
// part of the pages, sector by sector; after it all of them and any part of
// the header's sectors. The entries must be those before or those after, and
// appending must go on.
func TestPowerCut(t *testing.T) {
	seed := seedOfRun(t)
	random := rand.New(rand.NewPCG(seed, 6))
	s := quickStore(t)
	mustAppend(t, s, drafts(0, 40)...)
	before := fileOf(t, s)
	states := map[string]int{}
	for n := 40; n < 70; n++ {
		old := all(t, s)
		mustAppend(t, s, draft(n))
		after := fileOf(t, s)
		for range 6 * longRun() {
			states[cutAndCheck(t, before, after, old, all(t, s), random)]++
		}
		before = after
	}
	t.Log(states)
	if states["as before"] == 0 || states["as after"] == 0 {
		t.Errorf("the states are %v: both should come up", states)
	}
}

func fileOf(t *testing.T, s *Store) []byte {
	t.Helper()
	file, err := os.ReadFile(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// cutAndCheck makes one state that a power cut may leave and opens it.
func cutAndCheck(t *testing.T, before, after []byte, old, grown []Entry, random *rand.Rand) string {
	t.Helper()
	const sector = 512
	flushed := random.IntN(2) == 0
	disk := append([]byte(nil), after...)
	for at := 0; at < len(after); at += sector {
		header := at < 2*pageSize
		kept := flushed && !header || (header == flushed && random.IntN(2) == 0)
		if !kept {
			var was []byte // beyond the old end there was nothing, which reads as zeros
			if at < len(before) {
				was = before[at : at+sector]
			}
			clear(disk[at : at+sector])
			copy(disk[at:at+sector], was)
		}
	}
	s, err := Open(written(t, disk))
	if err != nil {
		t.Fatalf("after a power cut: %v", err)
	}
	defer s.Close()
	mustVerify(t, s)
	got := all(t, s)
	state := "as before"
	if len(got) == len(grown) {
		state, old = "as after", grown
	}
	wantEntries(t, got, old)
	mustAppend(t, s, draft(900), draft(901))
	mustVerify(t, s)
	return state
}
