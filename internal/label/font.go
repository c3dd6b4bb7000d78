package label

import (
	"encoding/binary"
	"fmt"
	"slices"
	"sync"

	"example.org/croze/labels"
)

// typeface holds what is needed to measure text: the advance width of each
// character in thousandths of the type size. Kerning is not used.
type typeface struct {
	data   []byte // the TrueType file
	widths map[rune]float64
}

// font reads the embedded font once. The file is part of the program and its
// sum is tested, so a failure here is a fault in the build.
var font = sync.OnceValue(func() *typeface {
	data, err := labels.Files.ReadFile("fonts/DejaVuSans.ttf")
	if err != nil {
		panic("label: embedded font: " + err.Error())
	}
	face, err := readTypeface(data)
	if err != nil {
		panic("label: embedded font: " + err.Error())
	}
	return face
})

func (f *typeface) has(r rune) bool { _, ok := f.widths[r]; return ok }

// width returns the width in mm of s at a type size in points.
func (f *typeface) width(s string, pt float64) float64 {
	sum := 0.0
	for _, r := range s {
		sum += f.widths[r]
	}
	return sum / 1000 * pt * mmPerPoint
}

const mmPerPoint = 25.4 / 72

// readTypeface reads the tables head, hhea, hmtx and cmap (format 4, the basic
// plane) of a TrueType file: OpenType specification, chapters of those names.
func readTypeface(data []byte) (face *typeface, err error) {
	defer func() {
		if recover() != nil { // a slice out of range: the file is cut short
			face, err = nil, fmt.Errorf("not a whole TrueType file")
		}
	}()
	data = slices.Clip(data) // no reading past the end into whatever lies behind
	tables := map[string][]byte{}
	for i := range int(be16(data, 4)) {
		record := data[12+16*i:]
		start := be32(record, 8)
		tables[string(record[:4])] = data[start : start+be32(record, 12)]
	}
	advances, unit := tables["hmtx"], float64(be16(tables["head"], 18))
	last := int(be16(tables["hhea"], 34)) - 1
	face = &typeface{data, map[rune]float64{}}
	segments, err := unicodeSegments(tables["cmap"])
	if err != nil {
		return nil, err
	}
	eachGlyph(segments, func(r rune, glyph int) {
		face.widths[r] = float64(be16(advances, 4*min(glyph, last))) * 1000 / unit
	})
	return face, nil
}

func be16(b []byte, at int) uint16 { return binary.BigEndian.Uint16(b[at:]) }
func be32(b []byte, at int) uint32 { return binary.BigEndian.Uint32(b[at:]) }

// unicodeSegments finds the format 4 subtable for Windows, Unicode basic plane.
func unicodeSegments(cmap []byte) ([]byte, error) {
	for i := range int(be16(cmap, 2)) {
		record := cmap[4+8*i:]
		table := cmap[be32(record, 4):]
		if be16(record, 0) == 3 && be16(record, 2) == 1 && be16(table, 0) == 4 {
			return table, nil
		}
	}
	return nil, fmt.Errorf("no Unicode character map of format 4")
}

// eachGlyph walks the segments of a format 4 table: end codes, start codes,
// deltas and offsets stand in four arrays one after the other.
func eachGlyph(table []byte, visit func(r rune, glyph int)) {
	size := int(be16(table, 6)) // twice the number of segments
	ends, starts, deltas, offsets := 14, 16+size, 16+2*size, 16+3*size
	for i := 0; i < size; i += 2 {
		first, end, delta := int(be16(table, starts+i)), int(be16(table, ends+i)), be16(table, deltas+i)
		offset := int(be16(table, offsets+i))
		for c := first; c <= end && c < 0xffff; c++ {
			glyph := uint16(c) + delta
			if offset != 0 {
				if glyph = be16(table, offsets+i+offset+2*(c-first)); glyph != 0 {
					glyph += delta
				}
			}
			if glyph != 0 {
				visit(rune(c), int(glyph))
			}
		}
	}
}
