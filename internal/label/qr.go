package label

import (
	"fmt"

	"github.com/skip2/go-qrcode"
)

// quietZone is the white border of a QR code in modules, part of the code: a
// scanner that does not see it may not find the code.
const quietZone = 4

// matrix is a QR code with its quiet zone; matrix[y][x] is true where it is dark.
type matrix [][]bool

// run is a row of dark modules beside each other.
type run struct{ x, y, length int }

// encode makes the QR code of an address, of at most so many modules a side
// with its quiet zone. Error correction is Q at least (a quarter of the code
// may be lost). A cellar is wet and hands are dirty, so a code up to two
// versions larger and of correction H (30 %) is taken where there is room: the
// larger the code, the fewer of its parts one blot touches.
func encode(address string, most int) (matrix, error) {
	smallest, err := qrcode.New(address, levelQ)
	if err != nil {
		return nil, fmt.Errorf("address: %d characters do not go into a QR code: use a shorter public address: %w", len(address), err)
	}
	for version := smallest.VersionNumber + 2; version >= smallest.VersionNumber; version-- {
		if modulesOf(version) > most {
			continue
		}
		if code, err := qrcode.NewWithForcedVersion(address, version, levelH); err == nil {
			return code.Bitmap(), nil
		}
	}
	return smallest.Bitmap(), nil
}

// The library's names for the levels Q and H.
const (
	levelQ = qrcode.High
	levelH = qrcode.Highest
)

// modulesOf gives the side of a version (1 to 40) with its quiet zone.
func modulesOf(version int) int { return 17 + 4*version + 2*quietZone }

// runs joins dark modules that touch in a row, so that a code is drawn with
// fewer shapes and without seams.
func (m matrix) runs() []run {
	var runs []run
	for y, row := range m {
		for x := 0; x < len(row); x++ {
			start := x
			for x < len(row) && row[x] {
				x++
			}
			if x > start {
				runs = append(runs, run{start, y, x - start})
			}
		}
	}
	return runs
}
