// Package web holds the templates, styles and scripts, compiled into the program.
package web

import "embed"

// Templates are the pages: templates/shared has the frame and the pieces that
// several pages use.
//
//go:embed templates
var Templates embed.FS

// Static is what browsers fetch as it is.
//
//go:embed static
var Static embed.FS

// Vendor is what browsers fetch of what others wrote; vendor/README.md says what.
//
//go:embed vendor
var Vendor embed.FS
