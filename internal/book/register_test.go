package book_test

import (
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// TestCodesThatLookAlikeAreRefused, by hand and in a file, as codes and as
// makers' codes, and the book is as it was.
func TestCodesThatLookAlikeAreRefused(t *testing.T) {
	h := newHouse(t)
	h.vessel("CAX 1", cellar.Cask, 50)
	_, err := h.RegisterNewVessel("", "keeper", cellar.Vessel{Code: "OAK", MakerCode: "Stave 9", Kind: cellar.Cask, CapacityL: 50})
	h.must(err)
	cask := func(code, maker string) cellar.Vessel {
		return cellar.Vessel{Code: code, MakerCode: maker, Kind: cellar.Cask, CapacityL: 50, Wood: "oak"}
	}
	before, err := h.Journal().Head()
	h.must(err)
	for _, c := range []struct {
		field string
		v     cellar.Vessel
	}{
		{"code", cask("САХ 1", "")}, {"code", cask("cax  1", "")}, {"code", cask("stave  9", "")},
		{"maker_code", cask("NEW", "САХ 1")}, {"maker_code", cask("NEW", "Stave  9")}, {"maker_code", cask("NEW", "ΟΑΚ")},
	} {
		_, err := h.RegisterNewVessel("", "keeper", c.v)
		if cellar.KindOf(err) != cellar.Refused || !strings.Contains(err.Error(), c.field) || !strings.Contains(err.Error(), "looks the same") {
			t.Errorf("%s %q: %v", c.v.Code, c.v.MakerCode, err)
		}
		report, err := h.Import("keeper", book.ImportSet{Vessels: []book.Row[cellar.Vessel]{{File: "v.csv", Line: 2, Value: c.v}}}, false)
		h.must(err)
		if len(report.Problems) != 1 || !strings.Contains(report.Problems[0].String(), c.field) {
			t.Errorf("in a file, %s %q: %v", c.v.Code, c.v.MakerCode, report.Problems)
		}
	}
	if after, err := h.Journal().Head(); err != nil || after != before {
		t.Errorf("the journal went from %v to %v, %v", before, after, err)
	}
	own := cask("OAK", "stave  9") // a correction of its own
	if _, err := h.RegisterVessel("", "keeper", own); err != nil {
		t.Error(err)
	}
}

// TestHiddenCharactersAreNotRecorded in any kind of entry.
func TestHiddenCharactersAreNotRecorded(t *testing.T) {
	h := newHouse(t)
	h.batch("B", "2019-12-01", 100, 60)
	h.vessel("A", cellar.Cask, 50)
	const evil = "sound\u202Ekael"
	note := cellar.Request{Entry: "note", Vessel: "A", Note: evil, When: h.clock.now}
	_, err := h.Record(book.Submission{Who: "keeper", Request: note, Sure: true})
	_, _, preview := h.Preview(note)
	_, vessel := h.RegisterNewVessel("", "keeper", cellar.Vessel{Code: "C", Kind: cellar.Tank, CapacityL: 9, Note: evil})
	batch := h.RegisterNewBatch("", "keeper", cellar.Batch{Name: "C", Note: evil}, nil)
	for what, err := range map[string]error{"a note": err, "its preview": preview, "a vessel": vessel, "a batch": batch} {
		if cellar.KindOf(err) != cellar.Invalid || !strings.Contains(err.Error(), "note: holds the character U+202E") {
			t.Errorf("%s: %v", what, err)
		}
	}
}
