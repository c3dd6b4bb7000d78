package journal

import (
	"errors"
	"fmt"
)

// What a caller tells apart with errors.Is. The error itself has the details.
var (
	ErrConflict  = errors.New("the journal has grown since it was looked at")
	ErrDuplicate = errors.New("the entry's ID is already there with other content")
	ErrClosed    = errors.New("the journal is closed")
	ErrReadOnly  = errors.New("the journal was opened for reading only")
	ErrInUse     = errors.New("the store is in use by another croze")
	ErrNewer     = errors.New("the store was written by a newer croze")
	ErrNotStore  = errors.New("not a store of croze")
)

// InvalidError says what is wrong with a draft or with a line of an export.
type InvalidError struct {
	Draft  int    // which of the drafts, from 0
	Field  string // as in the export: id, recorded_at, happened_at, who, kind, body
	Reason string // a sentence without a full stop, with the value and the limit
}

func (e *InvalidError) Error() string {
	return fmt.Sprintf("draft %d: %s: %s", e.Draft+1, e.Field, e.Reason)
}

// DamageError says that what is on the disk is not what was recorded.
type DamageError struct {
	Seq    uint64 // the first bad entry, 0 if it is not one entry
	Reason string
}

func (e *DamageError) Error() string {
	if e.Seq == 0 {
		return "the journal is damaged: " + e.Reason
	}
	return fmt.Sprintf("the journal is damaged at entry %d: %s", e.Seq, e.Reason)
}

// IsInvalid says whether err is about a draft that cannot be recorded as it is.
func IsInvalid(err error) bool {
	var invalid *InvalidError
	return errors.As(err, &invalid)
}
