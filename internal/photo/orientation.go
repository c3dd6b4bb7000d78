package photo

import (
	"bytes"
	"encoding/binary"
)

// Markers and tags of the JPEG and Exif formats.
const (
	markerStart   = 0xd8
	markerApp1    = 0xe1
	markerScan    = 0xda
	tagTurned     = 0x0112
	longestFields = 1000
)

// orientationOf reads how a camera was held (1 to 8; 1 is upright) from a JPEG's
// Exif segment, after the Exif standard; anything else is upright.
func orientationOf(data []byte) int {
	if len(data) < 4 || data[0] != 0xff || data[1] != markerStart {
		return 1
	}
	for at := 2; at+4 <= len(data) && data[at] == 0xff && data[at+1] != markerScan; {
		length := int(binary.BigEndian.Uint16(data[at+2:]))
		end := at + 2 + length
		if length < 2 || end > len(data) {
			break
		}
		if exif, ok := bytes.CutPrefix(data[at+4:end], []byte("Exif\x00\x00")); ok && data[at+1] == markerApp1 {
			return turnedBy(exif)
		}
		at = end
	}
	return 1
}

// turnedBy reads the orientation out of the first directory of a TIFF header.
func turnedBy(tiff []byte) int {
	var order binary.ByteOrder = binary.LittleEndian
	if len(tiff) < 8 {
		return 1
	}
	if string(tiff[:2]) == "MM" {
		order = binary.BigEndian
	}
	at := int(order.Uint32(tiff[4:]))
	if at < 8 || at+2 > len(tiff) {
		return 1
	}
	fields := min(int(order.Uint16(tiff[at:])), longestFields)
	for i := range fields {
		field := at + 2 + 12*i
		if field+12 > len(tiff) {
			return 1
		}
		if order.Uint16(tiff[field:]) == tagTurned {
			if turned := int(order.Uint16(tiff[field+8:])); turned >= 1 && turned <= 8 {
				return turned
			}
			return 1
		}
	}
	return 1
}
