package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// What those who may open a file can do with it, before the umask.
const (
	forAll   fs.FileMode = 0o666
	forOwner fs.FileMode = 0o600 // it holds what a store holds
)

// writeFile writes a file that is either whole or not there: under another
// name first. An old file of the name is replaced.
func writeFile(path string, who fs.FileMode, write func(io.Writer) error) error {
	dir := filepath.Dir(path)
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return fmt.Errorf("%s: there is no folder %q to put it in", path, dir)
	}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return fmt.Errorf("%s: it is there already, and it is no file", path)
	}
	f, err := os.OpenFile(fmt.Sprintf("%s.%d.new", path, os.Getpid()), os.O_WRONLY|os.O_CREATE|os.O_EXCL, who)
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
