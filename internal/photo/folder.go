package photo

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"example.org/croze/internal/cellar"
)

// MostBytes is the largest upload that is looked at.
const MostBytes = 12 << 20

// Folder is where pictures are kept; it is made with the first of them.
// The zero Folder keeps none.
type Folder string

// Keep takes a JPEG or PNG picture and returns the name under which it is kept.
// The same picture gives the same name.
func (f Folder) Keep(data []byte) (name string, err error) {
	if f == "" {
		return "", &cellar.Problem{Kind: cellar.Refused, Field: "photo", Reason: "this store keeps no pictures"}
	}
	clean, err := cleaned(data)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(clean)
	name = hex.EncodeToString(sum[:])
	if _, err := os.Stat(f.path(name)); err == nil {
		return name, nil
	}
	if err := os.MkdirAll(string(f), 0o700); err != nil {
		return "", err
	}
	return name, f.write(name, clean)
}

// write puts a file in place whole or not at all.
func (f Folder) write(name string, data []byte) error {
	scratch, err := os.CreateTemp(string(f), ".new-*")
	if err != nil {
		return err
	}
	defer os.Remove(scratch.Name())
	_, err = scratch.Write(data)
	if err := errors.Join(err, scratch.Sync(), scratch.Close()); err != nil {
		return err
	}
	return os.Rename(scratch.Name(), f.path(name))
}

func (f Folder) path(name string) string { return filepath.Join(string(f), name+".jpg") }

// Read returns a kept picture, a JPEG.
func (f Folder) Read(name string) ([]byte, error) {
	missing := &cellar.Problem{Kind: cellar.NotFound, Field: "photo", Value: name, Reason: "no such picture is kept here: pictures are beside the journal, not in it"}
	if f == "" || !cellar.IsPhoto(name) {
		return nil, missing
	}
	data, err := os.ReadFile(f.path(name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, missing
	}
	return data, err
}
