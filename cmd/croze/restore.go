package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"

	"example.org/croze/internal/book"
	"example.org/croze/internal/journal"
)

var restoreCommand = command{
	name:    "restore",
	does:    "makes a store of an exported journal, with the same heads and hashes",
	args:    "--data DIR FILE [--json]",
	more:    "There must be no store in DIR yet. FILE may be - for what comes in.",
	example: "croze restore --data again cellar.jsonl",
	set:     setRestore,
}

func setRestore(f *flag.FlagSet) func(world, []string) error {
	data, asJSON := dataFlag(f), f.Bool("json", false, "as JSON")
	return func(w world, args []string) error {
		file, err := oneArgument("file", args)
		if err != nil {
			return err
		}
		path, there, err := storeFile(*data)
		if err == nil && there {
			err = fmt.Errorf("--data: %q: there is a store here already: choose another folder", *data)
		}
		if err != nil {
			return err
		}
		in := w.in
		if file != "-" {
			f, err := os.Open(file)
			if err != nil {
				return err
			}
			defer f.Close()
			if isBackup(file) {
				return fmt.Errorf("%s: it is a backup, not an export: put it into a folder of its own as %s", file, journal.FileName)
			}
			in = f
		}
		head, err := w.restore(*data, path, in)
		if err == nil && *asJSON {
			return writeJSON(w.out, kept{head.Seq, head, file})
		}
		if err == nil {
			fmt.Fprintf(w.out, "Restored %s; the head is %s.\n", plural(int(head.Seq), "entry", "entries"), head.Hash)
		}
		return err
	}
}

// isBackup says whether a file is a store.
func isBackup(file string) bool {
	s, err := journal.OpenReadOnly(file)
	return err == nil && s.Close() == nil
}

// restore makes the store and tries it; one that cannot be replayed is taken
// away again.
func (w world) restore(dir, path string, in io.Reader) (journal.Head, error) {
	undo, err := makeFolder(dir)
	if err != nil {
		return journal.Head{}, err
	}
	head, err := journal.Import(path, in)
	if err != nil {
		undo()
		return head, err
	}
	if err := w.writing(dir, (*book.Book).Keep); err != nil {
		err = errors.Join(err, os.Remove(path))
		undo()
		return head, err
	}
	return head, nil
}
