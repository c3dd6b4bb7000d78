// Package roundsjourney has nothing but tests: of a round in the store, walked
// with a telephone. A real browser reads a label that is held before its
// camera, logs samples while the program is really stopped, and settles what
// two people did at the same time.
//
// They need the Debian packages chromium, ffmpeg and poppler-utils, which the
// check command installs, and fail with words where one is missing.
package roundsjourney
