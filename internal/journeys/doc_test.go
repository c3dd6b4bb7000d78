// Package journeys has nothing but tests: they walk through the program as its
// users do, in a real browser on a telephone and at a desk, against a real
// process with a store of its own.
//
// One browser serves all tests; each has tabs and programs of its own. They
// need the Debian packages chromium, zbar-tools and poppler-utils, which the
// check command installs, and fail with words where one is missing. With
//
//	go test ./internal/journeys -shots DIR
//
// they leave a picture of every page in DIR.
package journeys
