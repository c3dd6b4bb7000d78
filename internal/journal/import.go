package journal

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"go.etcd.io/bbolt"
)

// importBatch is how many entries one transaction of an import takes.
const importBatch = 1000

// LineError says what is wrong with a line of an export.
type LineError struct {
	File   string // name of the file, or "line" if the reader has none
	Line   int    // from 1
	Field  string // as in the export, or empty
	Reason string
}

func (e *LineError) Error() string {
	place := fmt.Sprintf("%s:%d: ", e.File, e.Line)
	if e.Field != "" {
		place += e.Field + ": "
	}
	return place + e.Reason
}

// Import makes a new store at path out of what Export wrote, with the same
// entries and hashes, and returns its head. A line that is wrong is a
// *LineError, where the file is r's name if it has one; so is a file without a
// line. There must be nothing
// at path, and after an error there is nothing.
func Import(path string, r io.Reader) (Head, error) {
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return Head{}, fmt.Errorf("cannot make the store %s: there is something by that name: choose another, or move it away first", path)
	}
	scratch, err := newFile(filepath.Dir(path))
	if err != nil {
		return Head{}, fmt.Errorf("cannot make the store %s: %w", path, err)
	}
	defer os.Remove(scratch)
	head, err := fill(scratch, r)
	if err != nil {
		return Head{}, err
	}
	return head, moveNew(scratch, path)
}

// fill puts the lines of r into an empty store.
func fill(path string, r io.Reader) (head Head, err error) {
	s, err := Open(path)
	if err != nil {
		return Head{}, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	in := newLineReader(r)
	for {
		entries, err := in.batch(head)
		if err != nil {
			return head, err
		}
		if len(entries) == 0 {
			return head, in.checkSome()
		}
		if err := s.update(func(tx *bbolt.Tx) error { return putEntries(tx, entries) }); err != nil {
			return head, err
		}
		head = entries[len(entries)-1].head()
	}
}

// lineReader reads entries off an export.
type lineReader struct {
	scanner *bufio.Scanner
	file    string
	line    int
	ids     map[string]int // the line that an ID was on
}

func newLineReader(r io.Reader) *lineReader {
	in := &lineReader{scanner: bufio.NewScanner(r), file: "line", ids: map[string]int{}}
	in.scanner.Buffer(nil, MaxBody+64<<10) // the other fields are far shorter than this
	if named, ok := r.(interface{ Name() string }); ok {
		in.file = named.Name()
	}
	return in
}

// batch reads entries that follow head. None is the end.
func (in *lineReader) batch(head Head) ([]Entry, error) {
	var entries []Entry
	for len(entries) < importBatch && in.scanner.Scan() {
		in.line++
		e, field, err := parseLine(in.scanner.Bytes())
		if err == nil {
			field, err = in.checkPlace(head, e)
		}
		if err != nil {
			return nil, &LineError{in.file, in.line, field, err.Error()}
		}
		in.ids[e.ID] = in.line
		entries, head = append(entries, e), e.head()
	}
	if err := in.scanner.Err(); errors.Is(err, bufio.ErrTooLong) {
		return nil, &LineError{in.file, in.line + 1, "body", fmt.Sprintf("the line is longer than any entry, whose body has at most %d bytes", MaxBody)}
	} else if err != nil {
		return nil, fmt.Errorf("%s:%d: %w", in.file, in.line+1, err)
	}
	return entries, nil
}

// checkSome refuses an export without a line: a copy that came to nothing must
// not pass for a store.
func (in *lineReader) checkSome() error {
	if in.line > 0 {
		return nil
	}
	return &LineError{in.file, 1, "", "the file is empty, so there is nothing to restore: was the export cut off?"}
}

// checkPlace checks that e is whole and stands where it was.
func (in *lineReader) checkPlace(head Head, e Entry) (field string, err error) {
	switch {
	case e.Seq != head.Seq+1:
		return "seq", fmt.Errorf("%d stands where %d belongs: a line is missing, doubled or moved", e.Seq, head.Seq+1)
	case in.ids[e.ID] != 0:
		return "id", fmt.Errorf("%s is on line %d too", e.ID, in.ids[e.ID])
	case e.Prev != head.Hash:
		return "prev", fmt.Errorf("%s is not the hash of the line before, %s", e.Prev, head.Hash)
	case hashOf(e) != e.Hash:
		return "hash", fmt.Errorf("%s is not the hash of this line's fields, %s: the line was changed after it was recorded", e.Hash, hashOf(e))
	}
	return "", nil
}
