package loss

import "example.org/croze/internal/spirit"

// Kind says how a vessel is built, and so through what it loses.
type Kind string

// The kinds of vessel.
const (
	Cask   Kind = "cask"   // wooden: loses through all its wood
	Hybrid Kind = "hybrid" // steel body with a wooden head: loses through the head
	Jar    Kind = "jar"    // glass with staves in it: loses a little through its closure
	Tank   Kind = "tank"   // inert: loses next to nothing
)

// Vessel is one vessel of the stock and all that happened to it.
type Vessel struct {
	Code, Wood string
	Kind       Kind
	Place      string        // where it stood at first
	Moves      []Move        // to other places later, in any order
	WoodNew    bool          // new wood; else used or not known
	Capacity   spirit.Litres // above 0
	WoodArea   float64       // m²; 0: worked out from capacity and kind
	Events     []Event       // in any order
}

// Move says that a vessel stood in a place from a moment on.
type Move struct {
	At    float64 // days since 1970-01-01 UTC
	Order int     // settles what came first within the same At
	Place string
}

// EventKind says what happened to a vessel.
type EventKind uint8

// What may happen to a vessel.
const (
	Fill    EventKind = iota // an empty vessel gets Amount
	In                       // Amount came in from elsewhere
	Out                      // Amount's volume was taken, at the strength that the vessel had
	Observe                  // a sample or gauge, before any Out of the same time and order
	Empty                    // the vessel was emptied
)

// Event is one thing that happened to a vessel.
type Event struct {
	At       float64 // days since 1970-01-01 UTC
	Order    int     // settles what came first within the same At
	What     EventKind
	Amount   spirit.Amount // for Fill, In and Out
	AmountSD float64       // relative standard uncertainty of Amount; 0: what is usual

	// For Observe. Of a Fill or an In only Strength.SD is read, as the
	// uncertainty of Amount's strength (% vol); 0: what is usual.
	Strength Measured // % vol, true strength at 20 °C
	Volume   Measured // litres at 20 °C
	NetMass  Measured // kg of liquid, in vacuum
}

// Measured is one measured value with its standard uncertainty, in the same
// unit. SD 0 says that it was not stated: the stock as a whole then shows it.
type Measured struct {
	Value, SD float64
	Known     bool
}

// Climate is what is known of the air in a place: a usual temperature (°C) and
// relative humidity (%), and readings where somebody logs them.
type Climate struct {
	Place                    string
	TempC, HumidityPct       float64
	TempKnown, HumidityKnown bool
	Log                      []ClimateReading // in any order
}

// ClimateReading is one reading of the air in a place.
type ClimateReading struct {
	At                       float64 // days since 1970-01-01 UTC
	TempC, HumidityPct       float64
	TempKnown, HumidityKnown bool
}

// Stock is a whole store: its vessels and its places, in any order.
type Stock struct {
	Vessels []Vessel
	Places  []Climate
}
