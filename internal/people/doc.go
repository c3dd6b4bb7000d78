// Package people knows who may open a store and what each may do there.
//
// An account has a name, which every entry of its holder carries, a role and a
// password, kept as its Argon2id hash. Whoever signs in gets a session, a secret that
// the browser keeps; a program is given a token. Of both only the SHA-256 is kept, so
// that a stolen backup opens nothing. A passkey is a key pair of a device, of which the
// public half is kept. All of it is one aside of the journal: it is in
// a backup, in no export and in no history.
//
// A store without an account asks nobody: it is served on its own machine only.
package people
