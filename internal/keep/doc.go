// Package keep makes backups of an open store by a plan: into one folder, every
// so often, so many kept.
//
// A backup counts only when it has been verified: it is copied into a scratch
// folder, opened there as a restored store would be, and checked from end to end
// as `croze check` does. Then it gets its name, and the oldest beyond the number
// kept goes. One that fails leaves no file and takes none away. How each went is
// put beside the journal, where the pages show it.
package keep
