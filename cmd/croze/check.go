package main

import (
	"errors"
	"flag"
	"fmt"

	"example.org/croze/internal/book"
	"example.org/croze/internal/journal"
)

var checkCommand = command{
	name: "check",
	does: "checks a store: hashes, double entry, and a replay of everything",
	args: "--data DIR [--json]",
	more: "It follows the chain of hashes, replays every entry, holds the accounts to zero to the\n" +
		"milligram, and compares with what the program had kept. Exit code 1: it names the first bad entry.",
	example: "croze check --data cellar",
	set:     setCheck,
}

func setCheck(f *flag.FlagSet) func(world, []string) error {
	data := dataFlag(f)
	asJSON := f.Bool("json", false, "as JSON")
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		var found book.Findings
		err := reading(*data, func(j journal.Journal) (err error) {
			found, err = book.Verify(j)
			return err
		})
		var damage *journal.DamageError
		if errors.As(err, &damage) {
			found.BadEntry, found.Problem, err = damage.Seq, err.Error(), nil
		}
		if err != nil {
			return err
		}
		return w.tellFindings(found, *asJSON)
	}
}

func (w world) tellFindings(f book.Findings, asJSON bool) error {
	if asJSON {
		if err := writeJSON(w.out, f); err != nil {
			return err
		}
	}
	if f.Problem != "" {
		fmt.Fprintf(w.err, "croze check: %s\n", f.Problem)
		return errNo
	}
	if asJSON {
		return nil
	}
	_, err := fmt.Fprintf(w.out, "Sound: %s, %s that balance to the milligram; the head is %s.\n",
		plural(int(f.Entries), "entry", "entries"), plural(f.Accounts, "account", "accounts"), f.Head.Hash)
	return err
}
