package server_test

import (
	"net/http"
	"strings"
	"testing"
)

// refusal is a form that must not be saved.
type refusal struct {
	what    string
	address string
	fields  []string // name and value in turn
	status  int
	says    string // the field in the words of the page, and what is wrong
}

const (
	unprocessable = http.StatusUnprocessableEntity
	notFound      = http.StatusNotFound
)

var long = strings.Repeat("x", 61)

// sampleRefusals are of the form that is used most.
var sampleRefusals = []refusal{
	{"nothing written", "/v/RYE-1/log/sample", nil, unprocessable, "Strength, % vol: a sample says something"},
	{"a word for a number", "/v/RYE-1/log/sample", []string{"strength", "strong"}, unprocessable, `Reading: "strong": `},
	{"a decimal comma", "/v/RYE-1/log/sample", []string{"strength", "61,5"}, unprocessable, `Reading: "61,5": `},
	{"not finite", "/v/RYE-1/log/sample", []string{"strength", "NaN"}, unprocessable, `Reading: "NaN": `},
	{"endless", "/v/RYE-1/log/sample", []string{"strength", "Inf"}, unprocessable, `Reading: "Inf": `},
	{"too large for a number", "/v/RYE-1/log/sample", []string{"strength", "1e999"}, unprocessable, `Reading: "1e999": `},
	{"over 100 %", "/v/RYE-1/log/sample", []string{"strength", "126", "scale", "corrected"}, unprocessable, `Strength, % vol: "126": must be 0 to 100 (is it proof?)`},
	{"below 0 %", "/v/RYE-1/log/sample", []string{"strength", "-1", "scale", "corrected"}, unprocessable, `Strength, % vol: "-1": must be 0 to 100`},
	{"a reading without its temperature", "/v/RYE-1/log/sample", []string{"strength", "61", "scale", "vol"}, unprocessable, "Temperature, °C: a raw reading needs the temperature"},
	{"degrees Fahrenheit", "/v/RYE-1/log/sample", []string{"strength", "61", "scale", "vol", "temp_c", "68"}, unprocessable, `Temperature, °C: "68": must be -20 to 40 (is it °F?)`},
	{"an unknown scale", "/v/RYE-1/log/sample", []string{"strength", "61", "scale", "runes", "temp_c", "18"}, unprocessable, `The reading is: "runes": use vol, proof, density or sg`},
	{"a negative volume", "/v/RYE-1/log/sample", []string{"volume_l", "-3"}, unprocessable, `Volume, L: "-3": must be above 0`},
	{"more than it holds", "/v/RYE-1/log/sample", []string{"volume_l", "70"}, unprocessable, `Volume, L: "70": `},
	{"lighter than the vessel", "/v/RYE-1/log/sample", []string{"gross_kg", "3"}, unprocessable, `Gross weight, kg: "3": `},
	{"a weight without a tare", "/v/OAT-1/log/sample", []string{"gross_kg", "9"}, unprocessable, `Gross weight, kg: "9": vessel OAT-1 has no “Weight when empty, kg”`},
	{"volume and weight", "/v/RYE-1/log/sample", []string{"gross_kg", "45", "volume_l", "36"}, unprocessable, `give “Volume, L” or “Gross weight, kg”, not both`},
	{"taken out less than nothing", "/v/RYE-1/log/sample", []string{"strength", "61", "drawn_ml", "-30"}, unprocessable, "Taken out: "},
	{"a score that is no number", "/v/RYE-1/log/sample", []string{"word_0", "fruit", "score_0", "much"}, unprocessable, `"much": not a whole number`},
	{"a score beyond 10", "/v/RYE-1/log/sample", []string{"word_0", "fruit", "score_0", "11"}, unprocessable, `"11"`},
	{"a day that does not exist", "/v/RYE-1/log/sample", []string{"strength", "61", "when", "2026-02-30"}, unprocessable, `When: "2026-02-30": not a date and time`},
	{"tomorrow", "/v/RYE-1/log/sample", []string{"strength", "61", "when", "2026-11-26T09:00"}, unprocessable, "lies in the future"},
	{"before the fill", "/v/RYE-1/log/sample", []string{"strength", "61", "when", "2024-01-01"}, unprocessable, "it is empty on 2024-01-01"},
	{"a note without end", "/v/RYE-1/log/sample", []string{"note", strings.Repeat("x", 2001)}, unprocessable, "Note: "},
	{"an unknown vessel", "/v/NONE/log/sample", []string{"strength", "61"}, notFound, `"NONE": no such vessel is registered`},
	{"an empty vessel", "/v/SPARE-1/log/sample", []string{"strength", "61"}, unprocessable, `"SPARE-1": it is empty on 2026-11-25: only a fill can come next`},
}

// entryRefusals are of the other entries.
var entryRefusals = []refusal{
	{"a fill of a full vessel", "/v/RYE-1/log/fill", []string{"from", "R1", "volume_l", "5"}, unprocessable, "RYE-1"},
	{"a fill over capacity", "/v/SPARE-1/log/fill", []string{"volume_l", "40", "strength", "60"}, unprocessable, "SPARE-1"},
	{"a fill of more than the batch has", "/v/SPARE-1/log/fill", []string{"from", "R1", "volume_l", "25", "strength", "63"}, unprocessable, "R1"},
	{"a fill from nowhere", "/v/SPARE-1/log/fill", []string{"from", "none", "volume_l", "5"}, notFound, `From: "none": no batch or vessel has this name`},
	{"a fill of nothing", "/v/SPARE-1/log/fill", []string{"from", "R1"}, unprocessable, "Volume, L: say how much"},
	{"a draw from an empty vessel", "/v/SPARE-1/log/draw", []string{"volume_l", "1"}, unprocessable, "it is empty on"},
	{"a draw of nothing", "/v/RYE-1/log/draw", nil, unprocessable, "Taken out: say how much was taken"},
	{"a draw of more than there is", "/v/RYE-1/log/draw", []string{"volume_l", "49"}, unprocessable, "RYE-1"},
	{"a spill of a word", "/v/RYE-1/log/spill", []string{"volume_l", "some"}, unprocessable, `Volume, L: "some": `},
	{"a transfer from an empty vessel", "/v/RYE-1/log/transfer", []string{"from", spare}, unprocessable, `From: "SPARE-1": it is empty`},
	{"a transfer into itself", "/v/RYE-1/log/transfer", []string{"from", rye, "volume_l", "1"}, unprocessable, "RYE-1"},
	{"a top up from nowhere", "/v/RYE-1/log/top_up", []string{"volume_l", "1"}, unprocessable, "From: say which batch or vessel"},
	{"a top up over capacity", "/v/OAT-1/log/top_up", []string{"from", rye, "volume_l", "4.5"}, unprocessable, "OAT-1"},
	{"no water", "/v/RYE-1/log/reduce", nil, unprocessable, "Water, kg: say how much water"},
	{"too much water", "/v/RYE-1/log/reduce", []string{"water_kg", "25"}, unprocessable, "RYE-1"},
	{"bottles without a lot", "/v/RYE-1/log/bottle", []string{"size_l_0", "0.5", "bottles_0", "10"}, unprocessable, "Lot code: it has no name"},
	{"no bottles", "/v/RYE-1/log/bottle", []string{"lot", "L1"}, unprocessable, "How many: "},
	{"half a bottle", "/v/RYE-1/log/bottle", []string{"lot", "L1", "size_l_0", "0.5", "bottles_0", "1.5"}, unprocessable, `"1.5": not a whole number`},
	{"more bottles than spirit", "/v/RYE-1/log/bottle", []string{"lot", "L1", "size_l_0", "0.5", "bottles_0", "200"}, unprocessable, "RYE-1"},
	{"a move to nowhere", "/v/RYE-1/log/move", []string{"place", "Moon"}, notFound, `Place: "Moon": no such place is registered`},
	{"an empty note", "/v/RYE-1/log/note", nil, unprocessable, "Note: write something"},
	{"emptying what is empty", "/v/SPARE-1/log/empty", nil, unprocessable, "it is empty on"},
}

// registerRefusals are of places, vessels, batches and blends.
var registerRefusals = []refusal{
	{"no readings of the air", "/places/climate", []string{"readings", ""}, unprocessable, "from 1 to 2000"},
	{"the air of a place nobody knows", "/places/climate", []string{"climate_place", "Nowhere", "readings", "2024-03-31,11,70"}, http.StatusNotFound, "no such place"},
	{"air too wet", "/places/climate", []string{"climate_place", "Lower store", "readings", "2024-03-31,11,170"}, unprocessable, "must be 0 to 100"},
	{"air of tomorrow", "/places/climate", []string{"readings", "2100-03-31,11,70"}, unprocessable, "lies in the future"},
	{"a place without a name", "/places", nil, unprocessable, "Place: it has no name"},
	{"a place with a long name", "/places", []string{"place", long}, unprocessable, "longer than 60 characters"},
	{"a place with a bell in its name", "/places", []string{"place", "Cel\alar"}, unprocessable, "holds a character that cannot be printed"},
	{"a hot place", "/places", []string{"place", "Loft", "temp_c", "72"}, unprocessable, `Temperature, °C: "72": must be -40 to 60 °C`},
	{"a place with a word for its humidity", "/places", []string{"place", "Loft", "humidity_pct", "wet"}, unprocessable, `Usual humidity, %: "wet": `},
	{"a vessel of no kind", "/vessels/new", []string{"capacity_l", "50"}, unprocessable, "Kind: use cask, hybrid, jar or tank"},
	{"a vessel of an odd kind", "/vessels/new", []string{"kind", "boot", "capacity_l", "50"}, unprocessable, `Kind: "boot": use cask`},
	{"a vessel without a capacity", "/vessels/new", []string{"kind", "cask"}, unprocessable, "Capacity, L: "},
	{"a capacity with a comma", "/vessels/new", []string{"kind", "cask", "capacity_l", "1,5"}, unprocessable, `Capacity, L: "1,5": `},
	{"a negative tare", "/vessels/new", []string{"kind", "cask", "capacity_l", "50", "tare_kg", "-4"}, unprocessable, `Weight when empty, kg: "-4": `},
	{"a code that is in use", "/vessels/new", []string{"code", "rye-1", "kind", "cask", "capacity_l", "50"}, unprocessable, `Code: "rye-1": vessel RYE-1 goes by this already`},
	{"a code with a wrong check character", "/vessels/new", []string{"code", wrongCode(), "kind", "cask", "capacity_l", "50"}, unprocessable, "Code: "},
	{"a maker's code that is in use", "/vessels/new", []string{"kind", "cask", "capacity_l", "50", "maker_code", rye}, unprocessable, "Maker's code: "},
	{"a wood with a long name", "/vessels/new", []string{"kind", "cask", "capacity_l", "50", "wood", long}, unprocessable, "Wood: "},
	{"a correction to nothing", "/v/RYE-1/edit", []string{"kind", "cask", "capacity_l", "0"}, unprocessable, "Capacity, L: "},
	{"a batch without a name", "/spirits/new", nil, unprocessable, "Name: it has no name"},
	{"a batch that is there already", "/spirits/new", []string{"batch", "R1"}, unprocessable, `Name: "R1": a batch with this name`},
	{"a batch of tomorrow", "/spirits/new", []string{"batch", "R2", "made_on", "2026-11-26"}, unprocessable, `Made on: "2026-11-26": lies in the future`},
	{"a batch of no day", "/spirits/new", []string{"batch", "R2", "made_on", "2026-13-01"}, unprocessable, `Made on: "2026-13-01": not a date that exists`},
	{"a batch over proof", "/spirits/new", []string{"batch", "R2", "strength_pct", "126"}, unprocessable, `Strength, % vol: "126": must be 0 to 100`},
	{"grains over 1", "/spirits/new", []string{"batch", "R2", "grains", "rye:0.8;oat:0.4"}, unprocessable, "Grain or fruit, shares: "},
	{"grains without shares", "/spirits/new", []string{"batch", "R2", "grains", "rye"}, unprocessable, "Grain or fruit, shares: "},
	{"left-overs from nowhere", "/spirits/new", []string{"batch", "R2", "carried_from", "none", "carried_l", "2"}, notFound, `From: "none": `},
	{"a blend of nothing", "/bench/record", []string{"into", spare}, unprocessable, "draws from 1 to 200 vessels"},
	{"a blend into a full vessel", "/bench/record", []string{"into", oat, "from_0", rye, "volume_l_0", "4", "strength_pct_0", "63"}, unprocessable, "OAT-1"},
	{"a blend of a word", "/bench/record", []string{"into", spare, "from_0", rye, "volume_l_0", "lots"}, unprocessable, `"lots": `},
	{"a blend of more than there is", "/bench/record", []string{"into", spare, "from_0", oat, "volume_l_0", "9", "strength_pct_0", "63"}, unprocessable, "OAT-1"},
	{"a blend from nowhere", "/bench/record", []string{"into", spare, "from_0", "NONE", "volume_l_0", "1"}, notFound, `"NONE": no such vessel is registered`},
	{"taking back what is not there", "/book/none/void", []string{"reason", "slip"}, notFound, "no such entry"},
}

func TestFormsRefuse(t *testing.T) {
	h := smallHouse(t)
	for _, set := range [][]refusal{sampleRefusals, entryRefusals, registerRefusals} {
		for _, r := range set {
			t.Run(r.what, func(t *testing.T) {
				h.t = t
				a := h.unchanged(r.what, func() answer { return h.post(r.address, r.fields) })
				if a.status != r.status || !a.says(r.says) {
					t.Errorf("status %d, want %d, saying %q; it says %s", a.status, r.status, r.says, problemOf(a))
				}
				h.shownAgain(a, r)
			})
		}
	}
}

// shownAgain looks for the typed values in the form that comes back. A form of
// something that is not there cannot come back.
func (h house) shownAgain(a answer, r refusal) {
	h.t.Helper()
	if !strings.Contains(a.body, `<form class="entry" method="post"`) {
		if a.status != notFound {
			h.t.Error("the form does not come back")
		}
		return
	}
	for i := 0; i+1 < len(r.fields); i += 2 {
		field, value := r.fields[i], r.fields[i+1]
		switch field {
		case "kind", "scale", "place", "into", "wood_state": // chosen from a list
			continue
		}
		if !strings.ContainsAny(value, "\a") && !a.says(value) {
			h.t.Errorf("%s: %q is not shown again", field, value)
		}
	}
}

// problemOf cuts the error out of a page.
func problemOf(a answer) string {
	_, rest, found := strings.Cut(a.body, `role="alert">`)
	if !found {
		return "no error"
	}
	text, _, _ := strings.Cut(rest, "</p>")
	return text
}
