// Package storm holds tests of the whole: the book, its journal and many
// clients at once, with faults. It has no code of its own.
//
// simulation_test.go runs everything in one goroutine from one seed, so that a
// failure can be played again; linear_test.go has the book's public operations
// called from many goroutines and asks a checker whether some order of them
// explains every answer; crowd_test.go is there for the race detector.
package storm
