// Package journal keeps the facts of the store: one list of entries, in the
// order in which they were recorded, that only ever grows.
//
// The model:
//
//   - A Draft is a fact as its author states it. Its ID is a ULID that the
//     author made, so that a draft sent twice is recorded once.
//   - An Entry is a draft that has a place: its Seq (1, 2, 3, …) and the hash
//     of the entry before it. Its own Hash covers every field, so that no past
//     entry can be changed, taken out or put in without every later hash being
//     wrong. docs/journal.md says how to work the hash out with other tools.
//   - The Head is the last entry's place and hash. An appender names the head
//     that it has seen; if another got in first it is told so (ErrConflict),
//     looks again and decides anew.
//
// An entry is on the disk before Append returns. Nothing is ever edited: what
// was wrong is voided by a later entry, whose meaning is not known here. Bodies
// are JSON objects that this package keeps, byte for byte, and does not read.
//
// There are two journals: Store keeps one file, and Memory keeps nothing. Both
// pass the same tests.
package journal
