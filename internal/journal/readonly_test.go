package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// nobody is a user without rights of their own.
const nobody = 65534

// TestADiskThatCanOnlyBeRead: a store that may be read and not written, by a
// process that is not above such rules, opens for readers, is refused to
// writers with its name, and stays as it is.
func TestADiskThatCanOnlyBeRead(t *testing.T) {
	file, _ := filled(t, 12)
	path := written(t, file)
	said, err := asNobody(t, path)
	if err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	for _, words := range []string{"readers find 12 entries", "writers: cannot open the store " + path, "permission denied", "an append: " + ErrReadOnly.Error(), "put: " + ErrReadOnly.Error()} {
		if !strings.Contains(said, words) {
			t.Errorf("it does not say %q:\n%s", words, said)
		}
	}
	if after, err := os.ReadFile(path); err != nil || !bytes.Equal(after, file) {
		t.Errorf("the file was changed, %v", err)
	}
	left, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(left) != 1 {
		t.Errorf("beside it is %v, %v", left, err)
	}
}

// asNobody runs taskReadOnly on a store whose folder and file can only be read.
func asNobody(t *testing.T, path string) (said string, err error) {
	t.Helper()
	self := copiedProgram(t)
	for name, mode := range map[string]os.FileMode{path: 0o444, filepath.Dir(path): 0o555, filepath.Dir(filepath.Dir(path)): 0o755} {
		if err := os.Chmod(name, mode); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() { os.Chmod(filepath.Dir(path), 0o755) })
	cmd := exec.Command(self, path)
	cmd.Env, cmd.Dir = append(os.Environ(), taskVariable+"=readonly"), "/"
	if os.Geteuid() == 0 {
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	}
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// copiedProgram is this test program where anybody may run it.
func copiedProgram(t *testing.T) string {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	from, err := os.Open(self)
	if err != nil {
		t.Fatal(err)
	}
	defer from.Close()
	dir := t.TempDir()
	to, err := os.OpenFile(filepath.Join(dir, "program"), os.O_CREATE|os.O_WRONLY, 0o755)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(to, from); err != nil {
		t.Fatal(err)
	}
	if err := to.Close(); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{dir, filepath.Dir(dir), to.Name()} {
		if err := os.Chmod(name, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	return to.Name()
}

// taskReadOnly says what readers and writers of the store at args[0] are told.
func taskReadOnly(args []string) error {
	if _, err := Open(args[0]); err == nil {
		return errors.New("it opens for writers")
	} else {
		fmt.Println("writers:", err)
	}
	s, err := OpenReadOnly(args[0])
	if err != nil {
		return err
	}
	defer s.Close()
	head, err := s.Head()
	if err != nil {
		return err
	}
	fmt.Printf("readers find %d entries\n", head.Seq)
	_, err = s.Append(head, draft(99))
	fmt.Println("an append:", err)
	fmt.Println("put:", s.Put("x", []byte("y")))
	return Verify(s)
}
