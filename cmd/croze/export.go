package main

import (
	"flag"

	"example.org/croze/internal/journal"
)

var exportCommand = command{
	name: "export",
	does: "writes the whole journal as JSON Lines",
	args: "--data DIR",
	more: "croze restore makes the same store of it again, with the same heads and hashes. The\n" +
		"password and other settings of a server are not in it: croze backup keeps those too.",
	example: "croze export --data cellar > cellar.jsonl",
	set:     setExport,
}

func setExport(f *flag.FlagSet) func(world, []string) error {
	data := dataFlag(f)
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		return reading(*data, func(j journal.Journal) error { return journal.Export(w.out, j) })
	}
}
