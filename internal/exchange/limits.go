package exchange

import (
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// What a file may be. They are far above what a store needs, and keep a wrong
// file from filling the memory.
const (
	MostBytes    = 64 << 20
	MostRows     = min(cellar.MostImportRows, journal.MaxDrafts)
	MostProblems = 1000 // of one file; after that many, more would not be read
	longestCell  = 4 * cellar.LongestNote
	longestShown = 60 // characters of a value in a message
)
