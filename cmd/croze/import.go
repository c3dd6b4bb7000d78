package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"

	"example.org/croze/internal/book"
	"example.org/croze/internal/exchange"
	"example.org/croze/internal/journal"
)

var importCommand = command{
	name: "import",
	does: "takes vessels, places, batches and entries from CSV files, all of them or none",
	args: "--data DIR [--vessels F] [--places F] [--batches F] [--entries F] [--dry-run] [--who NAME] [--json]",
	more: "Every row that is wrong is named as file:line: column: reason, and then nothing is\n" +
		"written. A store that is not there is made. docs/commands.md describes the columns.",
	example: "croze import --data cellar --vessels vessels.csv --entries entries.csv --dry-run",
	set:     setImport,
}

func setImport(f *flag.FlagSet) func(world, []string) error {
	data := dataFlag(f)
	vessels := f.String("vessels", "", "`FILE` with vessels")
	places := f.String("places", "", "`FILE` with places and their climate")
	batches := f.String("batches", "", "`FILE` with batches")
	entries := f.String("entries", "", "`FILE` with what happened")
	dryRun := f.Bool("dry-run", false, "say what is wrong and write nothing")
	asJSON := f.Bool("json", false, "report as JSON")
	who := f.String("who", "import", "`NAME` to put on the entries")
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		if *who == "" {
			return errors.New("--who: is blank: say who records this")
		}
		set, err := w.readSet(*vessels, *places, *batches, *entries)
		if err != nil {
			return err
		}
		report, err := w.importSet(*data, *who, set, *dryRun)
		if err != nil {
			return err
		}
		return w.tellImport(report, *dryRun, *asJSON)
	}
}

func (w world) readSet(vessels, places, batches, entries string) (book.ImportSet, error) {
	var files exchange.Files
	given := false
	for _, f := range []struct {
		name string
		into **exchange.File
	}{{vessels, &files.Vessels}, {places, &files.Places}, {batches, &files.Batches}, {entries, &files.Entries}} {
		if f.name == "" {
			continue
		}
		in, err := os.Open(f.name)
		if err != nil {
			return book.ImportSet{}, err
		}
		defer in.Close()
		*f.into, given = &exchange.File{Name: f.name, Data: in}, true
	}
	if !given {
		return book.ImportSet{}, errors.New("nothing to import: give --vessels, --places, --batches or --entries")
	}
	return exchange.Read(files, w.now())
}

// importSet tries an import on a journal in memory when there is no store
// yet, so that one is made only of an import that holds.
func (w world) importSet(dir, who string, set book.ImportSet, dryRun bool) (report book.ImportReport, err error) {
	path, there, err := storeFile(dir)
	if err != nil {
		return report, err
	}
	if there && !dryRun {
		err = w.writing(dir, func(b *book.Book) (err error) {
			if report, err = b.Import(who, set, false); err == nil && report.Written {
				err = b.Keep()
			}
			return err
		})
		return report, err
	}
	j := journal.Journal(journal.NewMemory())
	try := func(j journal.Journal) error {
		b, err := book.Open(j, w.edge())
		if err != nil {
			return err
		}
		report, err = b.Import(who, set, dryRun)
		return err
	}
	if there {
		return report, reading(dir, try)
	}
	if err := try(j); err != nil || !report.Written {
		return report, err
	}
	return report, w.found(dir, path, j)
}

// found makes a store of what a journal holds.
func (w world) found(dir, path string, j journal.Journal) error {
	var export bytes.Buffer
	if err := journal.Export(&export, j); err != nil {
		return err
	}
	undo, err := makeFolder(dir)
	if err != nil {
		return err
	}
	if _, err := journal.Import(path, &export); err != nil {
		undo()
		return err
	}
	return w.writing(dir, (*book.Book).Keep)
}

func (w world) tellImport(r book.ImportReport, dryRun, asJSON bool) error {
	tellRows(w.err, r.Problems)
	tellRows(w.err, r.Warnings)
	if asJSON {
		if err := writeJSON(w.out, r); err != nil {
			return err
		}
	}
	if n := len(r.Problems); n > 0 {
		fmt.Fprintf(w.err, "croze import: %s: nothing was written\n", plural(n, "problem", "problems"))
		return errTold
	}
	if asJSON {
		return nil
	}
	took := "Imported"
	if dryRun {
		took = "Nothing was written. It would import"
	}
	fmt.Fprintf(w.out, "%s %s, %s, %s, %s.\n", took, plural(r.Places, "place", "places"), plural(r.Vessels, "vessel", "vessels"),
		plural(r.Batches, "batch", "batches"), plural(r.Entries, "entry", "entries"))
	for _, code := range r.Issued {
		fmt.Fprintf(w.out, "issued code: %s\n", code)
	}
	return nil
}
