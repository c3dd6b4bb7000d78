package keep

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"
)

// File is a backup in the folder.
type File struct {
	Name       string
	Bytes      int64
	VerifiedAt time.Time // zero: nothing is remembered of it
	Entries    uint64
}

// ours are the names that this package gives; nothing else is counted or taken away.
var ours = regexp.MustCompile(`^croze-\d{8}T\d{6}Z(-\d+)?\.db$`)

func fileName(at time.Time, n int) string {
	name := "croze-" + at.UTC().Format("20060102T150405Z")
	if n > 1 {
		name += fmt.Sprintf("-%d", n)
	}
	return name + ".db"
}

// files lists the backups in the folder, newest first.
func (k *Keeper) files(p past) ([]File, error) {
	entries, err := os.ReadDir(k.plan.Dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	known := make(map[string]Backup)
	for _, b := range p.Backups {
		known[b.File] = b
	}
	var files []File
	for _, e := range entries {
		info, err := e.Info()
		if err != nil || !info.Mode().IsRegular() || !ours.MatchString(e.Name()) {
			continue
		}
		b := known[e.Name()]
		files = append(files, File{Name: e.Name(), Bytes: info.Size(), VerifiedAt: b.VerifiedAt, Entries: b.Entries})
	}
	slices.SortFunc(files, func(a, b File) int { return compareNames(b.Name, a.Name) })
	return files, nil
}

// compareNames orders by time, and the second of a second after the first.
func compareNames(a, b string) int {
	return strings.Compare(strings.Replace(a, ".db", "-1", 1), strings.Replace(b, ".db", "-1", 1))
}

// prune lets the oldest go, beyond the number kept.
func (k *Keeper) prune() error {
	files, err := k.files(past{})
	if err != nil {
		return err
	}
	for _, f := range files[min(len(files), k.plan.Keep):] {
		err = errors.Join(err, os.Remove(filepath.Join(k.plan.Dir, f.Name)))
	}
	return err
}
