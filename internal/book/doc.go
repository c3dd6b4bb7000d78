// Package book is the application: commands in, entries appended to the
// journal, projections kept warm, queries out.
//
// A Book holds one journal open. Record, Register… and Import take what people
// write, have package cellar work out the facts and try them against the whole
// history, and append them; only then does the Book's own state move on. So
// what was acknowledged is on the disk, and what is refused changed nothing.
//
// Queries go through a View: the state and the estimator's model for a day, as
// known on a day. A View's methods compute, and give plain values that pages,
// files and commands show.
package book
