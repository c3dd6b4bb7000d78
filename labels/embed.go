// Package labels carries the label layouts and the font of labels inside the
// program. A layout is a JSON file in this folder, described by its sizes;
// docs/labels.md says how to write one.
package labels

import "embed"

// Files holds the layouts (*.json) and fonts/DejaVuSans.ttf.
//
//go:embed *.json fonts/DejaVuSans.ttf fonts/README.md
var Files embed.FS
