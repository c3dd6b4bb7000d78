package main

import (
	"flag"
	"fmt"
	"runtime"
	"runtime/debug"

	"example.org/croze/internal/journal"
)

var versionCommand = command{
	name:    "version",
	does:    "says which build this is, and which form of store it writes",
	args:    "[--json]",
	example: "croze version",
	set:     setVersion,
}

// build says which program this is.
type build struct {
	Version  string `json:"version"`
	Revision string `json:"revision,omitempty"`
	Go       string `json:"go"`
	System   string `json:"system"`
	Store    int    `json:"store_format"`
}

func thisBuild() build {
	b := build{Version: "(unknown)", Go: runtime.Version(), System: runtime.GOOS + "/" + runtime.GOARCH, Store: journal.Format}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return b
	}
	b.Version = info.Main.Version
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" {
			b.Revision = s.Value
		}
	}
	return b
}

func setVersion(f *flag.FlagSet) func(world, []string) error {
	asJSON := f.Bool("json", false, "as JSON")
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		b := thisBuild()
		if *asJSON {
			return writeJSON(w.out, b)
		}
		_, err := fmt.Fprintf(w.out, "croze %s %s, %s, %s, store format %d\n", b.Version, b.Revision, b.Go, b.System, b.Store)
		return err
	}
}
