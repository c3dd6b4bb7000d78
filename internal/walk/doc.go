// Package walk is what tests walk through the program with: the program as it
// is built, running on this machine, and pages of a real browser on a screen.
// Only tests import it.
package walk
