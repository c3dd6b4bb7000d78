package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
)

// writeFile writes a file that is either whole or not there: under another
// name first. An old file of the name is replaced.
func writeFile(path string, write func(io.Writer) error) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".croze-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // there only if something failed
	err = write(f)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// readFile reads a file, or what comes in where the name is "-".
func (w world) readFile(name string) ([]byte, error) {
	if name == "-" {
		return io.ReadAll(w.in)
	}
	return os.ReadFile(name)
}
