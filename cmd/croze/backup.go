package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"

	"example.org/croze/internal/book"
	"example.org/croze/internal/journal"
)

var backupCommand = command{
	name: "backup",
	does: "copies the store into a file, while a server has it open or not",
	args: "--data DIR FILE [--json]",
	more: "The copy is checked from end to end before it gets its name. To use it, put it into a\n" +
		"folder of its own under the name " + journal.FileName + ".",
	example: "croze backup --data cellar cellar-2024-03-31.db",
	set:     setBackup,
}

func setBackup(f *flag.FlagSet) func(world, []string) error {
	data, asJSON := dataFlag(f), f.Bool("json", false, "as JSON")
	return func(w world, args []string) error {
		file, err := oneArgument("file", args)
		if err != nil {
			return err
		}
		if _, err := needStore(*data); err != nil {
			return err
		}
		if _, err := os.Lstat(file); !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s: there is something of this name: choose another, or move it away first", file)
		}
		copied, cleanup, err := journal.Snapshot(*data)
		if err != nil {
			return err
		}
		defer cleanup()
		found, err := verify(copied)
		if err != nil {
			return err
		}
		if found.Problem != "" {
			return fmt.Errorf("the store is not sound, and nothing was written: %s", found.Problem)
		}
		if err := writeFile(file, forOwner, func(out io.Writer) error { return copyFile(out, copied) }); err != nil {
			return err
		}
		if *asJSON {
			return writeJSON(w.out, kept{found.Entries, found.Head, file})
		}
		fmt.Fprintf(w.out, "Copied %s to %s; the head is %s.\n", plural(int(found.Entries), "entry", "entries"), file, found.Head.Hash)
		return nil
	}
}

func copyFile(out io.Writer, path string) error {
	in, err := os.Open(path)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, in.Close())
}

// verify checks a store's file from end to end.
func verify(path string) (book.Findings, error) {
	s, err := journal.OpenReadOnly(path)
	if err != nil {
		return book.Findings{}, err
	}
	found, err := book.Verify(s)
	return found, errors.Join(err, s.Close())
}
