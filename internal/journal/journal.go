package journal

import (
	"context"
	"encoding/json"
	"io"
	"iter"
	"time"
)

// Entry is a recorded fact. Entries are values: nothing that is done to one
// changes the journal.
type Entry struct {
	Seq        uint64          `json:"seq"`         // 1 for the first
	ID         string          `json:"id"`          // ULID, 26 upper-case characters
	RecordedAt time.Time       `json:"recorded_at"` // when it was written down
	HappenedAt time.Time       `json:"happened_at"` // when it was so, with the offset it was given in
	Who        string          `json:"who"`         // who says so
	Kind       string          `json:"kind"`        // what sort of fact, such as "sample"
	Body       json.RawMessage `json:"body"`        // a compact JSON object
	Prev       Hash            `json:"prev"`        // hash of the entry before, zero for the first
	Hash       Hash            `json:"hash"`        // hash of this entry
}

// Draft is a fact that has no place in the journal yet. limits.go has the
// lengths that its fields may have.
type Draft struct {
	ID         string
	RecordedAt time.Time
	HappenedAt time.Time
	Who        string
	Kind       string
	Body       json.RawMessage
}

// Head is the place and hash of a journal's last entry. The zero Head is that
// of an empty journal.
type Head struct {
	Seq  uint64 `json:"seq"`
	Hash Hash   `json:"hash"`
}

// Journal is an append-only list of entries. Its methods may be called from
// many goroutines at once.
type Journal interface {
	// Append records all the drafts, one after another, or none. They are on
	// the disk when it returns.
	//
	// A repeat, in which every ID is there already with the same content,
	// returns the entries that are there and writes nothing, whatever the head
	// is. Content is everything but RecordedAt, which a repeat has anew. An ID
	// that is there with other content is ErrDuplicate, and so is a repeat of
	// a part of the drafts. A head that is not the expected one is ErrConflict.
	// A draft that does not keep to the limits is an *InvalidError. Other
	// errors mean that the disk would not take it.
	Append(expected Head, drafts ...Draft) ([]Entry, error)

	// Head returns the place and hash of the last entry.
	Head() (Head, error)

	// Read calls visit with each entry from Seq from (0 and 1 are both the
	// first) to what is the last one when Read is called, in order. It stops
	// at the first error of visit and returns it. Hashes are checked on the
	// way: an entry that is not as it was recorded is a *DamageError. The
	// visitor may use the journal, and may append to it.
	Read(from uint64, visit func(Entry) error) error

	// Find returns the entry with an ID.
	Find(id string) (Entry, bool, error)

	// Watch yields the entries from Seq from on as Read does, and then each
	// new one when it is recorded, until ctx is done or the loop is left. An
	// error is the last thing that it yields: ErrClosed when the journal is
	// closed. The end of ctx is not an error.
	Watch(ctx context.Context, from uint64) iter.Seq2[Entry, error]

	// Put keeps a small thing that is not a fact, such as a setting of this
	// machine, beside the entries. A nil value takes it away. Asides are in a
	// backup and not in an export.
	Put(key string, value []byte) error

	// Get returns what Put kept: nil if there is nothing.
	Get(key string) ([]byte, error)

	// Backup writes a consistent copy of the journal while others read and
	// append: of a Store, a file that Open opens.
	Backup(w io.Writer) error

	// Close ends the journal's watches and lets the file go. Everything but a
	// second Close is ErrClosed after it.
	Close() error
}
