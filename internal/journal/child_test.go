package journal

import (
	"bufio"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"

	"github.com/oklog/ulid/v2"
)

// Some tests need a second process. It is this test program again, with a task
// in its environment.
const taskVariable = "CROZE_JOURNAL_TEST_TASK"

var tasks = map[string]func(args []string) error{
	"hold":   taskHold,
	"append": taskAppend,
	"fill":   taskFill,

	"readonly": taskReadOnly,
}

func TestMain(m *testing.M) {
	task, ok := tasks[os.Getenv(taskVariable)]
	if !ok {
		os.Exit(m.Run())
	}
	if err := task(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// child starts a second process with a task. Closing its input asks it to end.
func child(t *testing.T, task string, args ...string) (*exec.Cmd, io.WriteCloser, *bufio.Reader) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self, args...)
	cmd.Env = append(os.Environ(), taskVariable+"="+task)
	cmd.Stderr = os.Stderr
	stdin, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	stdout, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return cmd, stdin, bufio.NewReader(stdout)
}

// taskHold keeps the store at args[0] open until its input ends.
func taskHold(args []string) error {
	s, err := Open(args[0])
	if err != nil {
		return err
	}
	defer s.Close()
	fmt.Println("open")
	_, err = io.Copy(io.Discard, os.Stdin)
	return err
}

// batchDraft is draft n of a batch of size that a round appends. What it
// belongs to can be read off its ID.
func batchDraft(round, batch, n, size int) Draft {
	d := draft(0)
	var id ulid.ULID
	binary.BigEndian.PutUint32(id[2:], uint32(round))
	binary.BigEndian.PutUint32(id[6:], uint32(batch))
	binary.BigEndian.PutUint16(id[10:], uint16(n))
	binary.BigEndian.PutUint16(id[12:], uint16(size))
	d.ID = id.String()
	d.Body = json.RawMessage(fmt.Sprintf(`{"batch":%d,"n":%d}`, batch, n))
	return d
}

// taskAppend appends to the store at args[0] for ever, in batches of random
// sizes, and prints the head after each: what it has printed is acknowledged.
func taskAppend(args []string) error {
	round, err := strconv.Atoi(args[1])
	if err != nil {
		return err
	}
	s, err := Open(args[0])
	if err != nil {
		return err
	}
	head, err := s.Head()
	random := rand.New(rand.NewPCG(uint64(round), 2))
	for batch := 0; err == nil; batch++ {
		size := 1 + random.IntN(12)
		var list []Draft
		for n := range size {
			list = append(list, batchDraft(round, batch, n, size))
		}
		var entries []Entry
		if entries, err = s.Append(head, list...); err == nil {
			head = entries[size-1].head()
			_, err = fmt.Printf("%d %s\n", head.Seq, head.Hash)
		}
	}
	return err
}

// taskFill appends to the store at args[0], which may not grow above args[1]
// bytes, until the disk does not take it. It checks that the failed append
// left nothing and that the next one works when there is room again.
func taskFill(args []string) error {
	signal.Ignore(syscall.SIGXFSZ)
	most, err := strconv.ParseUint(args[1], 10, 64)
	if err != nil {
		return err
	}
	s, err := Open(args[0])
	if err != nil {
		return err
	}
	var unlimited syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &unlimited); err != nil {
		return err
	}
	limit := syscall.Rlimit{Cur: most, Max: unlimited.Max}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	n, head := 0, Head{}
	for {
		entries, err := s.Append(head, draft(n))
		if err != nil {
			fmt.Println("refused:", err)
			break
		}
		head, n = entries[0].head(), n+1
	}
	if now, err := s.Head(); err != nil || now != head {
		return fmt.Errorf("after the refusal the head is %v, want %v: %w", now, head, err)
	}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &unlimited); err != nil {
		return err
	}
	if _, err := s.Append(head, draft(n)); err != nil {
		return fmt.Errorf("with room again: %w", err)
	}
	fmt.Println(n + 1)
	return s.Close()
}

func TestSecondProcessIsRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	cmd, stdin, stdout := child(t, "hold", path)
	if line, err := stdout.ReadString('\n'); err != nil {
		t.Fatalf("the first process said %q: %v", line, err)
	}
	_, errWriter := Open(path)
	_, errReader := OpenReadOnly(path)
	for who, err := range map[string]error{"writer": errWriter, "reader": errReader} {
		wantWords(t, who, err, ErrInUse, path, "stop")
	}
	stdin.Close()
	if err := cmd.Wait(); err != nil {
		t.Fatal(err)
	}
	s, err := Open(path)
	if err != nil {
		t.Fatalf("after the first process has ended: %v", err)
	}
	s.Close()
}
