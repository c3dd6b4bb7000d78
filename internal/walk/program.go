package walk

import (
	"bufio"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
)

// folder is where the program is built, and whatever lasts as long as all tests.
var folder string

// Main is a TestMain: it asks for the tools that the tests run (with the Debian
// package of each), makes a folder for all of them, and removes it at the end.
func Main(m *testing.M, tools map[string]string) {
	flag.Parse()
	os.Exit(run(m, tools))
}

func run(m *testing.M, tools map[string]string) int {
	for tool, name := range tools {
		if _, err := exec.LookPath(tool); err != nil {
			fmt.Fprintf(os.Stderr, "%s is not installed: apt-get install %s, or let go run ./cmd/check do it\n", tool, name)
			return 1
		}
	}
	dir, err := os.MkdirTemp("", "croze-walk-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	folder = dir
	defer closeBrowser()
	return m.Run()
}

// Must ends a test at an error.
func Must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

var built = sync.OnceValues(func() (string, error) {
	binary := filepath.Join(folder, "croze")
	out, err := exec.Command("go", "build", "-o", binary, "example.org/croze/cmd/croze").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("the program does not build: %w\n%s", err, out)
	}
	return binary, nil
})

// Croze is a command of the program, not yet run.
func Croze(t testing.TB, args ...string) *exec.Cmd {
	t.Helper()
	binary, err := built()
	Must(t, err)
	return exec.Command(binary, args...)
}

// Program is a croze that serves its pages.
type Program struct {
	T    *testing.T
	Base string // its address, without a slash at the end

	args   []string
	listen string
	cmd    *exec.Cmd // nil while it is stopped
}

var addressLine = regexp.MustCompile(`^Croze is at (http://(127\.0\.0\.1:\d+)) `)

// Start runs croze until the test ends, or it is stopped before, and waits for
// the address that it prints.
func Start(t *testing.T, args ...string) *Program {
	t.Helper()
	p := &Program{T: t, args: args, listen: "127.0.0.1:0"}
	p.Again()
	t.Cleanup(p.Stop)
	return p
}

// Again starts it at the address that it had before.
func (p *Program) Again() {
	p.T.Helper()
	said := strings.Join(p.args, " ")
	p.cmd = Croze(p.T, append(p.args[:len(p.args):len(p.args)], "--listen", p.listen)...)
	p.cmd.Stderr = p.T.Output()
	out, err := p.cmd.StdoutPipe()
	Must(p.T, err)
	Must(p.T, p.cmd.Start())
	lines := bufio.NewReader(out)
	line, err := lines.ReadString('\n')
	match := addressLine.FindStringSubmatch(line)
	if match == nil {
		p.T.Fatalf("croze %s says %q, not its address: %v", said, line, err)
	}
	p.Base, p.listen = match[1], match[2]
	go io.Copy(io.Discard, lines)
}

// Stop ends the program: from then on there is no signal.
func (p *Program) Stop() {
	p.T.Helper()
	if p.cmd == nil {
		return
	}
	_ = p.cmd.Process.Signal(syscall.SIGTERM)
	if err := p.cmd.Wait(); err != nil {
		p.T.Errorf("croze %s: %v", strings.Join(p.args, " "), err)
	}
	p.cmd = nil
}
