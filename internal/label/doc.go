// Package label makes the labels of vessels, batches, bottle lots and sample
// bottles: as PDF sheets, as SVG and as plain text for a thermal printer.
//
// A label has a QR code on one side and plain type on the other. The code
// holds the address of the thing under the public address of the store, in
// capitals, so that it is written in the dense alphanumeric mode of the QR
// standard and its dots are large. Scan reads the thing's code out of any such
// address, so labels outlive the machine that served them.
//
// A Layout says in millimetres how a page is divided, how large the QR code is
// (with its quiet zone of four modules) and from how far it should be read.
// The layout, the label and the font's own widths give a composition: where
// each module and each word stands, measured so that nothing leaves the label.
// PDF, SVG and ZPL only draw the composition. The same input gives the same
// bytes.
//
// What changes in a vessel's life is not printed: the caller passes the lines.
package label
