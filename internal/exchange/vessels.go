package exchange

import (
	"errors"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// vesselColumns of vessels.csv, in the order in which they are written.
var vesselColumns = []column{
	{"code", false}, {"kind", true}, {"capacity_l", true}, {"wood", false}, {"wood_state", false},
	{"wood_area_m2", false}, {"place", false}, {"tare_kg", false}, {"maker_code", false}, {"note", false},
	{"row", false}, {"tier", false},
}

var vesselForm = form[cellar.Vessel]{kind: "vessel", columns: vesselColumns, read: readVessel}

var (
	someVolume = bounds{low: 0, high: cellar.LargestVolumeL, open: true}
	someMass   = bounds{low: 0, high: cellar.LargestMassKg, open: true}
	someArea   = bounds{low: 0, high: 10_000, open: true}
)

func readVessel(r *row) cellar.Vessel {
	v := cellar.Vessel{
		Code:       r.code("code"),
		Kind:       cellar.VesselKind(r.needed("kind")),
		Wood:       r.text("wood"),
		WoodState:  cellar.WoodState(r.text("wood_state")),
		WoodAreaM2: r.numberOr0("wood_area_m2", someArea),
		Place:      r.text("place"),
		Spot:       cellar.Spot{Row: r.text("row"), Tier: r.text("tier")},
		TareKg:     spirit.Kilograms(r.numberOr0("tare_kg", someMass)),
		MakerCode:  r.text("maker_code"),
		Note:       r.text("note"),
	}
	v.CapacityL = spirit.Litres(r.numberOr0("capacity_l", someVolume))
	if text, _ := r.cell("capacity_l"); text == "" {
		r.refuse("capacity_l", "is blank: say how many litres it holds")
	}
	r.checkVessel(v)
	return v
}

// code reads a vessel's code in the book's own spelling; blank, one will be issued.
func (r *row) code(column string) string {
	text, _ := r.cell(column)
	if text == "" {
		return ""
	}
	code, _, err := cellar.ParseCode(text)
	var p *cellar.Problem
	switch {
	case errors.As(err, &p):
		r.refuse(column, "%s", p.Reason)
		return text
	case err != nil:
		r.refuse(column, "%v", err)
		return text
	}
	r.says.add(column, code)
	return code
}

// checkVessel has the cellar look at what was read, so that an unknown kind is
// reported together with a number that cannot be read.
func (r *row) checkVessel(v cellar.Vessel) {
	if v.Code == "" {
		v.Code = cellar.IssueCode(0)
	}
	r.add(cellar.CheckVessel(&v))
}

// add notes a problem that the cellar found, unless its cell has one already.
func (r *row) add(err error) {
	var p *cellar.Problem
	if !errors.As(err, &p) {
		return
	}
	for _, known := range r.problems {
		if known.Column == p.Field {
			return
		}
	}
	r.refuse(p.Field, "%s", p.Reason)
}

// placeColumns of places.csv.
var placeColumns = []column{{"place", true}, {"temp_c", false}, {"humidity_pct", false}}

var placeForm = form[cellar.Place]{kind: "place", columns: placeColumns, read: readPlace}

func readPlace(r *row) cellar.Place {
	p := cellar.Place{
		Name:        r.needed("place"),
		TempC:       r.number("temp_c", bounds{low: -40, high: 60, hint: " (is it °F?)"}),
		HumidityPct: r.number("humidity_pct", bounds{low: 0, high: 100}),
	}
	r.add(cellar.CheckPlace(p))
	return p
}

// batchColumns of batches.csv.
var batchColumns = []column{
	{"batch", true}, {"made_on", false}, {"volume_l", false}, {"strength_pct", false},
	{"grains", false}, {"yeast", false}, {"note", false},
}

func batchForm(now time.Time) form[cellar.Batch] {
	return form[cellar.Batch]{
		kind: "batch", columns: batchColumns,
		read: func(r *row) cellar.Batch { return readBatch(r, now) },
		at:   func(b cellar.Batch) time.Time { return b.MadeOn.Time() },
	}
}

var someStrength = bounds{low: 0, high: 100, hint: " (is it proof?)"}

func readBatch(r *row, now time.Time) cellar.Batch {
	b := cellar.Batch{
		Name:        r.needed("batch"),
		MadeOn:      r.day("made_on", now),
		VolumeL:     spirit.Litres(r.numberOr0("volume_l", someVolume)),
		StrengthPct: spirit.Strength(r.numberOr0("strength_pct", someStrength)),
		Grains:      r.shares("grains"),
		Yeast:       r.text("yeast"),
		Note:        r.text("note"),
	}
	checked := b
	r.add(cellar.CheckBatch(&checked))
	return b
}
