package book_test

import (
	"math"
	"testing"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/identity"
)

// bottling works one out, with the lot as gauged.
func (h *house) bottling(code string, w book.BottlingWish) book.Bottling {
	h.t.Helper()
	var found book.Bottling
	h.must(h.See(book.Moment{}, func(v *book.View) (err error) {
		found, err = v.Bottling(code, w)
		return err
	}))
	return found
}

// 20 L less 0.5 L in the lines make 27 bottles of 700 mL (18.9 L) and leave 0.6 L;
// 46.26 % vol is labelled 46.3.
func TestABottling(t *testing.T) {
	h := stillhouse(t)
	found := h.bottling("RYE", book.BottlingWish{
		Sizes: []blend.Size{{NominalMl: 700}}, RoomC: 20, LinesL: 0.5, VolumeL: ptr(20.0), StrengthPct: ptr(46.26), Jurisdiction: "EU", OnlyWater: true,
	})
	if found.Bottles != 27 || math.Abs(found.HeelL-0.6) > 1e-9 || found.Runs[0].FillMl != 700 || math.Abs(found.Runs[0].FillRoomMl-700) > 1e-9 {
		t.Errorf("the bottling is %+v", found.Bottled)
	}
	if found.Label.LabelPct != 46.3 || !found.Label.Within || found.Label.Chance == nil {
		t.Errorf("the label is %+v", found.Label)
	}
	// Filled on 2 January 2020, bottled on 10 January 2023: three years and eight days.
	if found.Age.Years != 3 || found.Age.Words != "3 years" || found.Youngest != 1104 {
		t.Errorf("the age is %+v, %d days", found.Age, found.Youngest)
	}
	if found.Report == nil || found.Report.Age.State != identity.Met || found.Report.Age.Years != 3 {
		t.Errorf("the law says %+v", found.Report)
	}
	if found.Code != "230110-A" {
		t.Errorf("the lot code suggested is %s", found.Code)
	}
}

// Years in a jar are no age where only a wooden container counts.
func TestAJarGivesNoAge(t *testing.T) {
	h := stillhouse(t)
	found := h.bottling("JAR", book.BottlingWish{Sizes: []blend.Size{{NominalMl: 200}}, RoomC: 18, Jurisdiction: "EU"})
	if found.Report.Age.State == identity.Met && found.Report.Age.Years > 0 {
		t.Errorf("a jar gives an age of %d years: %s", found.Report.Age.Years, found.Report.Age.Text)
	}
}

// Bottles hold their nominal volume at 20 °C, and a lot code is used once.
func TestBottlesAreRecorded(t *testing.T) {
	h := stillhouse(t)
	f := book.Filled{Who: "keeper", Vessel: "RYE", Lot: "230110-A", When: h.clock.now, StrengthPct: ptr(62.0), LabelPct: ptr(62.0), Bottles: []book.BottleCount{{700, 20}, {200, 5}, {50, 0}}}
	e, err := h.Bottle(f)
	h.must(err)
	bottled := e.Fact.(*cellar.Bottle)
	if math.Abs(float64(bottled.Measure.VolumeL)-15) > 1e-9 || len(bottled.Bottles) != 2 {
		t.Errorf("the bottling is %+v", bottled)
	}
	if _, err := h.Bottle(f); cellar.KindOf(err) != cellar.Refused {
		t.Errorf("the same lot code again: %v", err)
	}
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		if code := v.SuggestLot(); code != "230110-B" {
			t.Errorf("the next lot code is %s", code)
		}
		return nil
	}))
	f.Bottles = []book.BottleCount{{700, 0}}
	if _, err := h.Bottle(f); cellar.KindOf(err) != cellar.Invalid {
		t.Errorf("no bottle: %v", err)
	}
}
