package cellar

import "example.org/croze/internal/spirit"

// Basis says where the strength of a moved amount was taken from.
type Basis string

// The bases, best first.
const (
	Measured Basis = "measured"  // read at the time
	Carried  Basis = "carried"   // the last strength known of where it came from
	Computed Basis = "estimated" // the estimator's
)

// Measure is how much liquid an entry moved: what was read, and the amount
// that was worked out of it when the entry was made. The amount is the fact
// that the books go by; the readings show how it was found.
type Measure struct {
	Amount      spirit.Amount    `json:"amount"`
	VolumeL     spirit.Litres    `json:"volume_l,omitempty"` // as read
	TempC       *spirit.Celsius  `json:"temp_c,omitempty"`   // of the liquid; nil: litres at 20 °C
	NetKg       spirit.Kilograms `json:"net_kg,omitempty"`   // weighed in air, tare taken off
	StrengthPct spirit.Strength  `json:"strength_pct,omitempty"`
	Basis       Basis            `json:"basis,omitempty"`
	Reading     *Reading         `json:"reading,omitempty"`
}

// Reading is what an instrument showed, and the strength corrected from it.
type Reading struct {
	Value       float64         `json:"value"`
	Scale       string          `json:"scale"` // vol, proof, density, sg; "corrected": worked out elsewhere
	TempC       *spirit.Celsius `json:"temp_c,omitempty"`
	GlassC      spirit.Celsius  `json:"glass_c,omitempty"` // what the instrument was made for
	Residue     spirit.Residue  `json:"residue,omitempty"` // g/100 mL, if allowed for
	Instrument  string          `json:"instrument,omitempty"`
	Added       float64         `json:"added,omitempty"`     // correction of the instrument's certificate, in its unit
	Certified   bool            `json:"certified,omitempty"` // then the uncertainty is the certificate's
	StrengthPct spirit.Strength `json:"strength_pct"`
	StrengthSD  spirit.Strength `json:"strength_sd,omitempty"` // 0: not stated
	Correction  string          `json:"correction,omitempty"`  // in words
}

// Content is a measured content of a vessel, before anything was taken out.
type Content struct {
	Method     string           `json:"method"` // volume, weight, dip …
	Read       float64          `json:"read"`   // litres, or kilograms gross
	TareKg     spirit.Kilograms `json:"tare_kg,omitempty"`
	Instrument string           `json:"instrument,omitempty"`
	TempC      *spirit.Celsius  `json:"temp_c,omitempty"`
	VolumeL    spirit.Litres    `json:"volume_l"` // at 20 °C
	SDL        spirit.Litres    `json:"sd_l,omitempty"`
	NetKg      spirit.Kilograms `json:"net_kg"` // in vacuum
}

// Senses is what a person noted of a sample.
type Senses struct {
	Colour string         `json:"colour,omitempty"`
	Nose   string         `json:"nose,omitempty"`
	Palate string         `json:"palate,omitempty"`
	Scores map[string]int `json:"scores,omitempty"` // 0 to 10, under the store's own words
	Taster string         `json:"taster,omitempty"` // who tasted; blank: who wrote it down
	Photo  string         `json:"photo,omitempty"`  // SHA-256 of a picture kept beside the journal, 64 hexadecimal digits
}
