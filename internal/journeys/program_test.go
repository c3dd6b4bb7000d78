package journeys

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

var shots = flag.String("shots", "", "folder in which to leave pictures of the pages")

// tools are what the tests run, with the Debian package that has it.
var tools = map[string]string{"chromium": "chromium", "zbarimg": "zbar-tools", "pdftoppm": "poppler-utils"}

func TestMain(m *testing.M) {
	flag.Parse()
	os.Exit(run(m))
}

func run(m *testing.M) int {
	for tool, name := range tools {
		if _, err := exec.LookPath(tool); err != nil {
			fmt.Fprintf(os.Stderr, "%s is not installed: apt-get install %s, or let go run ./cmd/check do it\n", tool, name)
			return 1
		}
	}
	dir, err := os.MkdirTemp("", "croze-journeys-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	binary = filepath.Join(dir, "croze")
	stop := startBrowser(filepath.Join(dir, "profile"))
	defer stop()
	return m.Run()
}

// binary is where the program is, once built says so.
var binary string

var built = sync.OnceValue(func() error {
	out, err := exec.Command("go", "build", "-o", binary, "example.org/croze/cmd/croze").CombinedOutput()
	if err != nil {
		return fmt.Errorf("the program does not build: %w\n%s", err, out)
	}
	return nil
})

// program is a running croze.
type program struct {
	t    *testing.T
	base string // its address, without a slash at the end
}

var addressLine = regexp.MustCompile(`^Croze is at (http://127\.0\.0\.1:\d+) `)

// start runs croze until the test ends, and waits for the address that it prints.
func start(t *testing.T, args ...string) program {
	t.Helper()
	must(t, built())
	cmd := exec.Command(binary, append(args, "--listen", "127.0.0.1:0")...)
	cmd.Stderr = t.Output()
	out, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Signal(syscall.SIGTERM)
		if err := cmd.Wait(); err != nil {
			t.Errorf("croze %s: %v", strings.Join(args, " "), err)
		}
	})
	lines := bufio.NewReader(out)
	line, err := lines.ReadString('\n')
	match := addressLine.FindStringSubmatch(line)
	if match == nil {
		t.Fatalf("croze %s says %q, not its address: %v", strings.Join(args, " "), line, err)
	}
	go io.Copy(io.Discard, lines)
	return program{t, match[1]}
}

// get reads a page or file as a program does.
func (p program) get(t *testing.T, path string) (body []byte, kind string) {
	t.Helper()
	status, body, kind := p.ask(t, path)
	if status != http.StatusOK {
		t.Fatalf("%s: status %d: %.300s", path, status, body)
	}
	return body, kind
}

func (p program) ask(t *testing.T, path string) (status int, body []byte, kind string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, p.base+path, nil)
	must(t, err)
	response, err := http.DefaultClient.Do(r)
	must(t, err)
	defer response.Body.Close()
	body, err = io.ReadAll(response.Body)
	must(t, err)
	return response.StatusCode, body, response.Header.Get("Content-Type")
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
