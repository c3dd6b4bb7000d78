package cellar

import (
	"time"

	"example.org/croze/internal/spirit"
)

// Request is an entry as a person writes it down: raw measures, nothing worked
// out. A pointer that is nil is a field left blank. One shape serves the files,
// the forms and the programs that talk to the book.
type Request struct {
	When   time.Time `json:"when"`
	Entry  string    `json:"entry"` // the fact's kind
	Vessel string    `json:"vessel,omitempty"`
	From   string    `json:"from,omitempty"` // a batch or a vessel; "batch:X" and "vessel:X" where both have the name

	VolumeL     *float64 `json:"volume_l,omitempty"`
	TempC       *float64 `json:"temp_c,omitempty"`
	StrengthPct *float64 `json:"strength_pct,omitempty"` // corrected
	ReadingPct  *float64 `json:"reading_pct,omitempty"`  // as read, needs TempC
	Scale       string   `json:"scale,omitempty"`        // of the reading: vol (as if blank), proof, density, sg
	GlassC      *float64 `json:"glass_c,omitempty"`      // 20 (as if blank) or 15.56
	Residue     *float64 `json:"residue,omitempty"`      // g/100 mL
	Instrument  string   `json:"instrument,omitempty"`
	Thermometer string   `json:"thermometer,omitempty"`
	Balance     string   `json:"balance,omitempty"`
	GrossKg     *float64 `json:"gross_kg,omitempty"`
	DipCm       *float64 `json:"dip_cm,omitempty"`     // wet part of a rod
	UllageCm    *float64 `json:"ullage_cm,omitempty"`  // dry, from the inside of the bung down
	LevelCm     *float64 `json:"level_cm,omitempty"`   // in a jar, from its floor
	MeterL      *float64 `json:"meter_l,omitempty"`    // run through a meter
	JugL        *float64 `json:"jug_l,omitempty"`      // what the jug holds …
	JugTimes    *float64 `json:"jug_times,omitempty"`  // … full jugs …
	JugLastL    *float64 `json:"jug_last_l,omitempty"` // … and the rest
	DrawnL      *float64 `json:"drawn_l,omitempty"`
	WaterKg     *float64 `json:"water_kg,omitempty"`

	Draws    []RequestDraw `json:"draws,omitempty"` // of a blend
	Plan     string        `json:"plan,omitempty"`  // of a blend: the entry that planned it
	Lot      string        `json:"lot,omitempty"`
	Bottles  []Bottles     `json:"bottles,omitempty"`
	LabelPct *float64      `json:"label_pct,omitempty"`
	All      bool          `json:"all,omitempty"` // nothing is left where it came from
	Place    string        `json:"place,omitempty"`
	Row      string        `json:"row,omitempty"`  // of a move: where there
	Tier     string        `json:"tier,omitempty"` // and how high
	Senses   *Senses       `json:"senses,omitempty"`
	Into     string        `json:"into,omitempty"` // of a rinse: the vessel that what came out went into; blank: it was drawn
	Note     string        `json:"note,omitempty"`
	Void     string        `json:"void,omitempty"`  // the entry to take back
	On       Day           `json:"on,omitempty"`    // of an aim: the day to come back on
	For      string        `json:"for,omitempty"`   // of an aim: look (as if blank) or bottle
	Round    string        `json:"round,omitempty"` // of a round_skip: the entry that began the round
}

// RequestDraw is one vessel's part in a requested blend.
type RequestDraw struct {
	From        string   `json:"from"`
	VolumeL     *float64 `json:"volume_l,omitempty"`
	WeighsKg    *float64 `json:"weighs_kg,omitempty"` // instead: what a balance in air showed of what was drawn
	TempC       *float64 `json:"temp_c,omitempty"`
	StrengthPct *float64 `json:"strength_pct,omitempty"`
	All         bool     `json:"all,omitempty"`
}

// Question is something unlikely about a request that a person should look at
// before it is saved. Nothing is changed because of it.
type Question struct {
	Field string `json:"field"`
	Code  string `json:"code"`
	Text  string `json:"text"`
}

// Resolver turns requests into facts, against the state at the time of each.
type Resolver struct {
	State *State
	Now   time.Time
	// Estimate gives what a vessel is thought to hold, where an estimator is at
	// hand; nil or false: the books and the usual loss serve.
	Estimate func(code string, at time.Time) (spirit.Amount, bool)
}
