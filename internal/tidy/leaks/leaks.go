// Package leaks finds goroutines of the program that a test has left behind. A
// goroutine that is about to end is given many turns to do so: no clock decides.
package leaks

import (
	"fmt"
	"os"
	"runtime"
	"strings"
	"testing"
)

// turns are how often others may run before what is still there counts as left.
const turns = 200_000

// Main runs a package's tests and fails if they leave goroutines behind.
func Main(m *testing.M) {
	code := m.Run()
	if left := Left(); code == 0 && left != "" {
		fmt.Fprintf(os.Stderr, "goroutines are left after all tests:\n%s\n", left)
		code = 1
	}
	os.Exit(code)
}

// None fails a test that leaves goroutines behind.
func None(t *testing.T) {
	t.Helper()
	t.Cleanup(func() {
		if left := Left(); left != "" {
			t.Errorf("goroutines are left:\n%s", left)
		}
	})
}

// Left waits for goroutines of the program's rooms to end, and shows those that do not.
func Left() (left string) {
	return waitFor(rooms)
}

// rooms are those whose goroutines must have ended.
var rooms = []string{"book", "journal", "server", "loss", "blend", "keep", "people"}

func waitFor(rooms []string) (left string) {
	for range turns {
		if left = running(rooms); left == "" {
			return ""
		}
		runtime.Gosched()
	}
	return left
}

// running shows the goroutines, beside the caller's, that are in the program's
// rooms or were started there.
func running(rooms []string) string {
	stacks := make([]byte, 1<<20)
	stacks = stacks[:runtime.Stack(stacks, true)]
	var ours []string
	for _, one := range strings.Split(string(stacks), "\n\n")[1:] {
		for _, room := range rooms {
			if strings.Contains(one, "croze/internal/"+room+".") {
				ours = append(ours, one)
				break
			}
		}
	}
	return strings.Join(ours, "\n\n")
}
