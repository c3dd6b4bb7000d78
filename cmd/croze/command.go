package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"
)

// The exit codes are a promise to scripts.
const (
	exitDone = 0
	exitNo   = 1 // the answer is no: infeasible, check failed
	exitBad  = 2 // bad input, and nothing was changed
)

// errNo says that a command did its work and the answer, shown already, is no.
var errNo = errors.New("no")

// errTold says that what is wrong was shown already.
var errTold = errors.New("told")

// command is one word after "croze".
type command struct {
	name    string
	does    string // one line for the overview
	args    string // what stands after the name, as in "--data DIR FILE"
	more    string // further help, may be empty
	example string // a command line that works
	// set declares the flags and returns what runs when they are read. It gets
	// the arguments that are not flags.
	set func(*flag.FlagSet) func(w world, args []string) error
}

// run is the program without its process.
func run(args []string, w world) int {
	if len(args) == 0 {
		overview(w.err)
		return exitBad
	}
	name, rest := args[0], args[1:]
	if name == "help" && len(rest) > 0 {
		name, rest = rest[0], []string{"--help"}
	}
	if name == "help" || isHelp(name) {
		overview(w.out)
		return exitDone
	}
	for _, c := range commands() {
		if c.name == name {
			return c.run(rest, w)
		}
	}
	fmt.Fprintf(w.err, "croze: %q is not a command: croze help lists them\n", name)
	return exitBad
}

func isHelp(arg string) bool { return arg == "--help" || arg == "-help" || arg == "-h" }

func overview(out io.Writer) {
	fmt.Fprint(out, "Croze keeps the book of a small spirit-ageing store.\n\n")
	for _, c := range commands() {
		fmt.Fprintf(out, "  croze %-9s %s\n", c.name, c.does)
	}
	fmt.Fprint(out, "\ncroze COMMAND --help shows its flags and an example.\n")
}

// run reads the flags, which may stand before and after the other arguments,
// does the work and gives the exit code.
func (c command) run(args []string, w world) int {
	flags := flag.NewFlagSet(c.name, flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	do := c.set(flags)
	others, err := readFlags(flags, args)
	if errors.Is(err, flag.ErrHelp) {
		c.help(flags, w.out)
		return exitDone
	}
	if err == nil {
		err = do(w, others)
	}
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errNo):
		return exitNo
	case !errors.Is(err, errTold):
		fmt.Fprintf(w.err, "croze %s: %s\n", c.name, problemText(err))
	}
	return exitBad
}

// readFlags reads flags wherever they stand. After "--" there are none.
func readFlags(flags *flag.FlagSet, args []string) (others []string, err error) {
	for {
		if err := flags.Parse(args); err != nil {
			return nil, flagError(err)
		}
		rest := flags.Args()
		if len(rest) == 0 {
			return others, nil
		}
		if read := len(args) - len(rest); read > 0 && args[read-1] == "--" {
			return append(others, rest...), nil
		}
		others, args = append(others, rest[0]), rest[1:]
	}
}

// flagError writes flags as people type them.
func flagError(err error) error {
	if errors.Is(err, flag.ErrHelp) {
		return err
	}
	text := strings.NewReplacer(
		"flag provided but not defined: -", "unknown flag --",
		"flag needs an argument: -", "no value after --",
		" for flag -", " for --",
		"invalid boolean value", "not true or false:",
	).Replace(err.Error())
	return errors.New(text + " (--help shows the flags)")
}

func (c command) help(flags *flag.FlagSet, out io.Writer) {
	fmt.Fprintf(out, "croze %s: %s\n\nusage: croze %s %s\n", c.name, c.does, c.name, c.args)
	if c.more != "" {
		fmt.Fprintf(out, "\n%s\n", c.more)
	}
	first := true
	flags.VisitAll(func(f *flag.Flag) {
		if first {
			fmt.Fprintln(out)
			first = false
		}
		value, does := flag.UnquoteUsage(f)
		fmt.Fprintf(out, "  %-20s %s\n", strings.TrimSpace("--"+f.Name+" "+value), does)
	})
	fmt.Fprintf(out, "\nexample: %s\n", c.example)
}

// noArguments refuses arguments that a command does not take.
func noArguments(args []string) error {
	if len(args) > 0 {
		return fmt.Errorf("%q: what is this for? The command takes flags only", args[0])
	}
	return nil
}

// oneArgument returns the argument that a command needs.
func oneArgument(what string, args []string) (string, error) {
	switch {
	case len(args) == 0 || args[0] == "":
		return "", fmt.Errorf("%s: is missing", what)
	case len(args) > 1:
		return "", fmt.Errorf("%q: one %s is enough", args[1], what)
	}
	return args[0], nil
}
