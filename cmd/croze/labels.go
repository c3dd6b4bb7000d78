package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"example.org/croze/internal/book"
	"example.org/croze/internal/label"
	"example.org/croze/labels"
)

var labelsCommand = command{
	name: "labels",
	does: "writes labels with QR codes for vessels, all of them or those named",
	args: "--data DIR --out FILE.pdf [--sheet NAME] [--public-url URL] [--skip N] [--json] [CODE…]",
	more: "The QR code holds the vessel's address under --public-url: give the address at which\n" +
		"phones reach croze serve. FILE may also end in .zpl (printer text) or, for one vessel, in .svg.",
	example: "croze labels --data cellar --out labels.pdf --sheet a4-3x8 --public-url http://cellar.example",
	set:     setLabels,
}

// Used unless another is asked for.
const (
	usualSheet   = "a4-3x8"
	usualAddress = "http://localhost:8080"
)

func setLabels(f *flag.FlagSet) func(world, []string) error {
	data := dataFlag(f)
	out := f.String("out", "", "`FILE` to write: .pdf, .zpl or .svg")
	sheet := f.String("sheet", usualSheet, "`NAME` of the layout, as a4-3x8, letter-3x10, roll-62")
	address := f.String("public-url", "", "`URL` at which phones reach croze serve")
	skip := f.Int("skip", 0, "places left empty on the first page, `N`")
	asJSON := f.Bool("json", false, "say what was written as JSON")
	return func(w world, codes []string) error {
		if *out == "" {
			return errors.New("--out: is missing: say which file to write, as labels.pdf")
		}
		layouts, err := label.Layouts(labels.Files, ownLayouts(*data))
		if err != nil {
			return err
		}
		layout, err := layouts.Find(*sheet)
		if err != nil {
			return fmt.Errorf("--sheet: %w", err)
		}
		if err := checkSkip(*skip, *out, layout); err != nil {
			return err
		}
		if *address == "" {
			*address = usualAddress
			fmt.Fprintf(w.err, "croze labels: the codes hold %s, which only this machine can open: give --public-url for phones\n", usualAddress)
		}
		var made []label.Label
		err = w.seeing(*data, book.Moment{}, func(v *book.View) (err error) {
			made, err = label.ForVessels(v, *address, codes)
			return err
		})
		if err != nil {
			return err
		}
		if err := w.writeLabels(*out, layout, made, label.Options{Skip: *skip}); err != nil {
			return err
		}
		if *asJSON {
			return writeJSON(w.out, written(*out, layout, made))
		}
		fmt.Fprintf(w.out, "Wrote %s to %s.\n", plural(len(made), "label", "labels"), *out)
		return nil
	}
}

// checkSkip holds the places left empty to those of the sheet.
func checkSkip(skip int, out string, layout label.Layout) error {
	sheet := strings.EqualFold(filepath.Ext(out), ".pdf")
	switch places := layout.PerPage(); {
	case skip != 0 && !sheet:
		return fmt.Errorf("--skip: %d: only a sheet has places to leave empty: write a .pdf", skip)
	case skip < 0 || skip >= places:
		return fmt.Errorf("--skip: %d: the sheet has %d places: leave 0 to %d empty", skip, places, places-1)
	}
	return nil
}

// labelsWritten is what the command says to programs.
type labelsWritten struct {
	Labels int      `json:"labels"`
	Codes  []string `json:"codes"`
	Sheet  string   `json:"sheet"`
	File   string   `json:"file"`
}

func written(path string, layout label.Layout, made []label.Label) labelsWritten {
	out := labelsWritten{Labels: len(made), Sheet: layout.Name, File: path}
	for _, l := range made {
		out.Codes = append(out.Codes, l.Code)
	}
	return out
}

func (w world) writeLabels(path string, layout label.Layout, made []label.Label, options label.Options) error {
	if len(made) == 0 {
		return errors.New("there are no vessels to label")
	}
	write := func(out io.Writer) error { return label.PDF(out, layout, made, options) }
	switch kind := strings.ToLower(filepath.Ext(path)); {
	case kind == ".pdf":
	case kind == ".zpl":
		write = func(out io.Writer) error { return writeZPL(out, layout, made) }
	case kind == ".svg" && len(made) == 1:
		write = func(out io.Writer) error { return label.SVG(out, layout, made[0]) }
	case kind == ".svg":
		return fmt.Errorf("--out: %q: a picture holds one label: name one vessel", path)
	default:
		return fmt.Errorf("--out: %q: the name must end in .pdf, .zpl or .svg", path)
	}
	if err := writeFile(path, forAll, write); err != nil {
		return fmt.Errorf("--out: %w", err)
	}
	return nil
}

func writeZPL(out io.Writer, layout label.Layout, made []label.Label) error {
	for _, l := range made {
		if err := label.ZPL(out, layout, l); err != nil {
			return err
		}
	}
	return nil
}
