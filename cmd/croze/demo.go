package main

import (
	"flag"
	"os"
	"path/filepath"

	"example.org/croze/internal/journal"
	"example.org/croze/internal/openhouse"
	"example.org/croze/internal/server"
)

var demoCommand = command{
	name: "demo",
	does: "serves an invented store with six years of history, nothing to set up",
	args: "[--listen ADDR] [--public-url URL]",
	more: "The store is in a fresh temporary folder and is gone when the program stops. Everybody\n" +
		"who reaches the address can open it: there is nothing real in it.",
	example: "croze demo --listen 127.0.0.1:8080",
	set:     setDemo,
}

// demoSeed chooses the story.
const demoSeed = 7

func setDemo(f *flag.FlagSet) func(world, []string) error {
	listen := f.String("listen", usualListen, "`ADDR` to listen on; :8080 lets phones nearby in")
	publicURL := f.String("public-url", "", "`URL` that labels hold")
	return func(w world, args []string) error {
		if err := noArguments(args); err != nil {
			return err
		}
		dir, err := os.MkdirTemp("", "croze-demo-")
		if err != nil {
			return err
		}
		defer os.RemoveAll(dir)
		j, err := w.demoStore(dir)
		if err != nil {
			return err
		}
		defer j.Close()
		backups, err := usualBackups().keeper(w, j, dir)
		if err != nil {
			return err
		}
		return w.open(j, dir, *listen, nil, server.Options{PublicURL: *publicURL, Demo: true, Backups: backups})
	}
}

func (w world) demoStore(dir string) (*journal.Store, error) {
	j, err := journal.Open(filepath.Join(dir, journal.FileName))
	if err != nil {
		return nil, err
	}
	return j, openhouse.Fill(j, demoSeed, w.now(), w.edge().NewID)
}
