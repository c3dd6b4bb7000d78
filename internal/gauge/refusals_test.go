package gauge

import (
	"errors"
	"math"

	"strings"
	"testing"

	"example.org/croze/internal/spirit"
)

// Every value outside its range is refused with an error that names the
// measure; words that are none of the known say which are known.
func TestRefusalsNameTheMeasure(t *testing.T) {
	nan := math.NaN()
	l := Of(60, 20)
	capacity := Capacity{160, 1}
	of := func(_ any, err error) error { return err }
	good := Jug{Holds: 5, HoldsSD: 0.02, Times: 4}
	for want, err := range map[string]error{
		"profile \"egg\"":                 of(Shape{Profile: "egg", Bung: 58, Head: 48, Length: 72}.Volume()),
		"bung diameter":                   of(Shape{Spheroid, 0, 48, 72}.Volume()),
		"head diameter 59":                of(Shape{Spheroid, 58, 59, 72}.Volume()),
		"head diameter 48 cm: a cylinder": of(Shape{Cylinder, 58, 48, 72}.Walls()),
		"length":                          of(Shape{Cones, 58, 48, Centimetres(nan)}.Walls()),
		"position \"leaning\"":            of(hogshead.Content("leaning", 1)),
		"dip of a lying cask 59":          of(hogshead.Content(Lying, 59)),
		"dip of a standing cask -1":       of(hogshead.WettedWalls(Standing, -1)),
		"content 500":                     of(hogshead.Dip(Lying, 500)),
		"position \"\"":                   of(hogshead.Dip("", 5)),
		"fill 1.1":                        of(hogshead.WettedAt(Lying, 1.1)),
		"length 0":                        of(Shape{Spheroid, 58, 48, 0}.WettedAt(Lying, 0.5)),
		"bung diameter 2000":              of(ByDip(Shape{Spheroid, 2000, 48, 72}, Lying, 5, l)),
		"dip of a lying cask 70":          of(ByDip(hogshead, Lying, 70, l)),
		"uncertainty of the dip":          of(Dip{hogshead, Lying, capacity, 5, -1}.Content(l)),
		"capacity 0":                      of(Dip{Shape: hogshead, Position: Lying, Wet: 5}.Content(l)),
		"uncertainty of the capacity":     of(Dip{hogshead, Lying, Capacity{160, -1}, 5, 1}.Content(l)),
		"bung diameter -1":                of(ByUllage(Shape{Spheroid, -1, 48, 72}, Lying, 5, l)),
		"ullage of a lying cask 60":       of(ByUllage(hogshead, Lying, 60, l)),
		"thickness of the wood":           of(Ullage{hogshead, Lying, capacity, 5, 1, 30}.Content(l)),
		"ullage of a lying cask 2 ":       of(Ullage{hogshead, Lying, capacity, 2, 1, 3}.Content(l)),
		"position \"upside\"":             of(Ullage{Shape: hogshead, Position: "upside"}.Content(l)),
		"body diameter":                   of(Jar{BodyHeight: 20}.Volume()),
		"body height":                     of(ByLevel(Jar{Body: 20}, Staves{}, 1, l)),
		"shoulder height":                 of(Jar{Body: 20, BodyHeight: 20, ShoulderHeight: -1}.Volume()),
		"neck height":                     of(Jar{Body: 20, BodyHeight: 20, NeckHeight: 101}.Volume()),
		"neck diameter 21":                of(Jar{Body: 20, BodyHeight: 20, Neck: 21}.Volume()),
		"neck diameter of a jar":          of(Jar{Body: 20, BodyHeight: 20, NeckHeight: 5}.Content(1)),
		"content 26":                      of(Jar{Body: 10, BodyHeight: 20}.Level(26)),
		"body diameter 0.5":               of(Jar{Body: 0.5, BodyHeight: 20}.Level(1)),
		"level in a jar 47":               of(ByLevel(demijohn, Staves{}, 47, l)),
		"uncertainty of the level":        of(Level{demijohn, capacity, Staves{}, 4, -1}.Content(l)),
		"body height 900":                 of(Level{Jar: Jar{Body: 20, BodyHeight: 900}}.Content(l)),
		"count of staves":                 of(Staves{Count: -1, Length: 20, Width: 4, Thickness: 1}.Area()),
		"stave width":                     of(Staves{Count: 1, Length: 20, Thickness: 1}.Volume()),
		"stave length":                    of(ByLevel(demijohn, Staves{Count: 1}, 4, l)),
		"meter reading":                   of(ByMeter(-1, l)),
		"correction of the meter":         of(Meter{1, 0.3, 0.01}.Content(l)),
		"uncertainty of the meter":        of(Meter{1, 0, nan}.Content(l)),
		"size of the jug":                 of(ByJug(0, 1, 0, l)),
		"number of jugs":                  of(ByJug(5, -1, 0, l)),
		"last part of a jug":              of(ByJug(5, 1, 6, l)),
		"uncertainty of the volume":       of(VolumeContent(FromVolume, 1, -1, l)),
		"uncertainty of the strength":     of(good.Content(Liquid{Strength: 60, StrengthSD: -1, At: 20})),
		"uncertainty of the temperature":  of(good.Content(Liquid{Strength: 60, At: 20, AtSD: 31})),
		"uncertainty of the tare":         of(Weighing{Gross: 20, Tare: 5, TareSD: -1}.Content(l)),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: error is %v", want, err)
		}
	}
}

func TestOutOfRangeNamesTheField(t *testing.T) {
	for name, call := range map[string]func() (Measured, error){
		"strength":                  func() (Measured, error) { return ByVolume(1, 20, 101) },
		"temperature of the liquid": func() (Measured, error) { return ByVolume(1, 41, 40) },
		"volume":                    func() (Measured, error) { return ByVolume(spirit.Litres(math.NaN()), 20, 40) },
		"gross weight":              func() (Measured, error) { return ByWeight(-1, 0, 40) },
		"tare":                      func() (Measured, error) { return ByWeight(1, spirit.Kilograms(math.Inf(1)), 40) },
	} {
		_, err := call()
		var out *spirit.RangeError
		if !errors.As(err, &out) || out.Quantity != name {
			t.Errorf("%s: error is %v", name, err)
		}
	}
	if _, err := ByWeight(10, 11, 40); err == nil || !strings.Contains(err.Error(), "less than the tare") {
		t.Errorf("a gross weight below the tare: %v", err)
	}
}
