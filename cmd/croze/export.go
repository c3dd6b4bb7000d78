package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"example.org/croze/internal/book"
	"example.org/croze/internal/exchange"
	"example.org/croze/internal/journal"
)

var exportCommand = command{
	name: "export",
	does: "writes the whole journal as JSON Lines",
	args: "--data DIR [--csv FOLDER]",
	more: "croze restore makes the same store of it again, with the same heads and hashes. The\n" +
		"password and other settings of a server are not in it: croze backup keeps those too.\n" +
		"With --csv the four files that croze import reads are written instead; what rows cannot\n" +
		"say is in them as words. docs/commands.md says what that is.",
	example: "croze export --data cellar > cellar.jsonl",
	set:     setExport,
}

func setExport(f *flag.FlagSet) func(world, []string) error {
	data := dataFlag(f)
	folder := f.String("csv", "", "`FOLDER` for vessels.csv, places.csv, batches.csv and entries.csv")
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		if *folder == "" {
			return reading(*data, func(j journal.Journal) error { return journal.Export(w.out, j) })
		}
		return w.seeing(*data, book.Moment{}, func(v *book.View) error {
			return writeRegister(*folder, exchange.RegisterOf(v.State, v.Entries))
		})
	}
}

// writeRegister writes the four files into a folder that has none of them.
func writeRegister(folder string, r exchange.Register) error {
	files := []struct {
		name  string
		write func(io.Writer) error
	}{
		{"vessels.csv", func(out io.Writer) error { return exchange.WriteVessels(out, r.Vessels) }},
		{"places.csv", func(out io.Writer) error { return exchange.WritePlaces(out, r.Places) }},
		{"batches.csv", func(out io.Writer) error { return exchange.WriteBatches(out, r.Batches) }},
		{"entries.csv", func(out io.Writer) error { return exchange.WriteEntries(out, r.Entries) }},
	}
	for _, f := range files {
		path := filepath.Join(folder, f.name)
		if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("--csv: %s: there is something of this name: choose another folder", path)
		}
	}
	undo, err := makeFolder(folder)
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := writeFile(filepath.Join(folder, f.name), forAll, f.write); err != nil {
			undo()
			return err
		}
	}
	return nil
}
