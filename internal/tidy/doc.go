// Package tidy has nothing but tests: of the arrows between the rooms, of the
// size of files and functions, of words and addresses that do not belong in the
// tree, and of published check values that lack their source.
package tidy
