package exchange

import (
	"slices"
	"strings"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// entryColumns of entries.csv.
var entryColumns = []column{
	{"when", true}, {"entry", true}, {"vessel", true}, {"from", false}, {"volume_l", false}, {"temp_c", false},
	{"strength_pct", false}, {"reading_pct", false}, {"gross_kg", false}, {"drawn_l", false}, {"note", false},
}

// entryKinds are the kinds of entry that a row can say in full.
var entryKinds = []string{"fill", "sample", "draw", "top_up", "transfer", "empty", "note", "spill", "reduce"}

// unused lists the columns that mean nothing for a kind of entry. A value
// there would be lost without a word, so it is refused.
var unused = map[string][]string{
	"fill":     {"drawn_l"},
	"top_up":   {"drawn_l"},
	"transfer": {"drawn_l"},
	"sample":   {"from"},
	"draw":     {"from"},
	"spill":    {"from"},
	"empty":    {"from"},
	"reduce":   {"from", "strength_pct", "reading_pct", "gross_kg", "drawn_l"},
	"note":     {"volume_l", "temp_c", "strength_pct", "reading_pct", "gross_kg", "drawn_l"},
}

func entryForm(now time.Time) form[cellar.Request] {
	return form[cellar.Request]{
		kind: "entry", columns: entryColumns,
		read: func(r *row) cellar.Request { return readEntry(r, now) },
		at:   func(q cellar.Request) time.Time { return q.When },
	}
}

var liquidTemperature = bounds{
	low: float64(spirit.ColdestLiquid), high: float64(spirit.WarmestLiquid), hint: " (is it °F?)",
}

func readEntry(r *row, now time.Time) cellar.Request {
	q := cellar.Request{
		When:        r.when("when", now),
		Entry:       r.needed("entry"),
		Vessel:      r.name("vessel"),
		From:        r.name("from"),
		VolumeL:     r.number("volume_l", someVolume),
		TempC:       r.number("temp_c", liquidTemperature),
		StrengthPct: r.number("strength_pct", someStrength),
		ReadingPct:  r.number("reading_pct", someStrength),
		GrossKg:     r.number("gross_kg", someMass),
		DrawnL:      r.number("drawn_l", someVolume),
		Note:        r.text("note"),
	}
	r.checkEntry(q)
	return q
}

// name reads a vessel or a batch as it is written; for the row's ID any
// spelling of a code of the book's own form is the same.
func (r *row) name(column string) string {
	text, _ := r.cell(column)
	if why := badText(text); why != "" {
		r.refuse(column, "%s", why)
		return ""
	}
	r.says.add(column, spelling(text))
	return text
}

// spelling is the one spelling of a code; another name is left as it is.
func spelling(name string) string {
	if code, own, err := cellar.ParseCode(name); own && err == nil {
		return code
	}
	return name
}

// checkEntry looks at what can be wrong with a row whatever the book says.
func (r *row) checkEntry(q cellar.Request) {
	if q.Entry != "" && !slices.Contains(entryKinds, q.Entry) {
		r.refuse("entry", "not a kind of entry for a file: use one of %s", strings.Join(entryKinds, ", "))
	}
	for _, column := range unused[q.Entry] {
		if text, _ := r.cell(column); text != "" {
			r.refuse(column, "a %s does not use this: leave it blank", q.Entry)
		}
	}
	if r.has("strength_pct") && r.has("reading_pct") {
		r.refuse("reading_pct", "give strength_pct, which is corrected, or reading_pct with temp_c, not both")
	}
	if r.has("reading_pct") && !r.has("temp_c") {
		r.refuse("temp_c", "is blank: a raw reading needs the temperature of the liquid")
	}
	if !r.has("vessel") && (q.Entry != "note" || q.From == "") {
		r.refuse("vessel", "is blank: say which vessel")
	}
	r.add(cellar.CheckNote("note", q.Note))
}

func (r *row) has(column string) bool {
	text, _ := r.cell(column)
	return text != ""
}
