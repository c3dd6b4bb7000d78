// Croze keeps the book of a small spirit-ageing store. This package is the
// program itself: flags, wiring and exit codes. What it does is in the rooms
// under internal.
package main

import (
	"io"
	"os"
	"time"
)

func main() {
	os.Exit(run(os.Args[1:], world{in: os.Stdin, out: os.Stdout, err: os.Stderr, now: time.Now}))
}

// world is what a command may touch besides the files it is told of.
type world struct {
	in       io.Reader
	out, err io.Writer
	now      func() time.Time
}

// commands in the order in which the overview lists them.
func commands() []command {
	return []command{
		demoCommand, serveCommand, passwordCommand,
		importCommand, stockCommand, forecastCommand, statementCommand,
		planCommand, strengthCommand, reduceCommand, labelsCommand,
		exportCommand, restoreCommand, backupCommand, checkCommand,
		versionCommand,
	}
}
