package cellar

import "example.org/croze/internal/spirit"

// Pour is what fill, top-up and transfer share: liquid goes into a vessel.
type Pour struct {
	Vessel  string  `json:"vessel"`
	From    Account `json:"from"` // a batch or another vessel
	Measure Measure `json:"measure"`
	Empties bool    `json:"empties,omitempty"` // nothing is left where it came from
	Note    string  `json:"note,omitempty"`
}

// Subjects names both ends.
func (p Pour) Subjects() []Account { return []Account{VesselAccount(p.Vessel), p.From} }

// Fill puts spirit into an empty vessel.
type Fill struct{ Pour }

// Kind is "fill".
func (*Fill) Kind() string { return "fill" }

// TopUp adds spirit to a vessel to make good what it lost.
type TopUp struct{ Pour }

// Kind is "top_up".
func (*TopUp) Kind() string { return "top_up" }

// Transfer moves spirit from one vessel into another that holds some.
type Transfer struct{ Pour }

// Kind is "transfer".
func (*Transfer) Kind() string { return "transfer" }

// Sample is a look at a vessel: any of strength, content and senses, and what was taken out.
type Sample struct {
	Vessel  string   `json:"vessel"`
	Reading *Reading `json:"reading,omitempty"`
	Content *Content `json:"content,omitempty"`
	Taken   *Measure `json:"taken,omitempty"`
	Senses  *Senses  `json:"senses,omitempty"`
	Note    string   `json:"note,omitempty"`
}

// Kind is "sample".
func (*Sample) Kind() string { return "sample" }

// Subjects names the vessel.
func (f *Sample) Subjects() []Account { return []Account{VesselAccount(f.Vessel)} }

// Draw takes spirit out for use.
type Draw struct {
	Vessel  string  `json:"vessel"`
	Measure Measure `json:"measure"`
	Note    string  `json:"note,omitempty"`
}

// Kind is "draw".
func (*Draw) Kind() string { return "draw" }

// Subjects names the vessel.
func (f *Draw) Subjects() []Account { return []Account{VesselAccount(f.Vessel)} }

// Spill is a known accident.
type Spill struct {
	Vessel  string  `json:"vessel"`
	Measure Measure `json:"measure"`
	Note    string  `json:"note,omitempty"`
}

// Kind is "spill".
func (*Spill) Kind() string { return "spill" }

// Subjects names the vessel.
func (f *Spill) Subjects() []Account { return []Account{VesselAccount(f.Vessel)} }

// Reduce adds water to a vessel.
type Reduce struct {
	Vessel string        `json:"vessel"`
	Water  spirit.Amount `json:"water"`
	Note   string        `json:"note,omitempty"`
}

// Kind is "reduce".
func (*Reduce) Kind() string { return "reduce" }

// Subjects names the vessel.
func (f *Reduce) Subjects() []Account { return []Account{VesselAccount(f.Vessel)} }

// BlendDraw is one vessel's part in a blend.
type BlendDraw struct {
	From    Account `json:"from"`
	Measure Measure `json:"measure"`
	Empties bool    `json:"empties,omitempty"`
}

// Blend puts several vessels, and water, together into one.
type Blend struct {
	Into  string        `json:"into"`
	Draws []BlendDraw   `json:"draws"`
	Water spirit.Amount `json:"water"`
	Plan  string        `json:"plan,omitempty"` // ID of the entry that planned it
	Note  string        `json:"note,omitempty"`
}

// Kind is "blend".
func (*Blend) Kind() string { return "blend" }

// Subjects names the vessel blended into and those drawn from.
func (f *Blend) Subjects() []Account {
	subjects := []Account{VesselAccount(f.Into)}
	for _, d := range f.Draws {
		subjects = append(subjects, d.From)
	}
	return subjects
}

// Bottles is so many bottles of a size.
type Bottles struct {
	SizeL spirit.Litres `json:"size_l"`
	Count int           `json:"count"`
}

// Bottle fills bottles from a vessel, under a lot's name.
type Bottle struct {
	Vessel   string          `json:"vessel"`
	Lot      string          `json:"lot"`
	Bottles  []Bottles       `json:"bottles"`
	LabelPct spirit.Strength `json:"label_pct"` // strength on the label
	Measure  Measure         `json:"measure"`   // what went into the bottles
	Empties  bool            `json:"empties,omitempty"`
	Note     string          `json:"note,omitempty"`
}

// Kind is "bottle".
func (*Bottle) Kind() string { return "bottle" }

// Subjects names the vessel and the lot.
func (f *Bottle) Subjects() []Account { return []Account{VesselAccount(f.Vessel), LotAccount(f.Lot)} }

// Empty says that nothing is left in a vessel; with a measure, what came out of it at the last.
type Empty struct {
	Vessel  string   `json:"vessel"`
	Measure *Measure `json:"measure,omitempty"`
	Note    string   `json:"note,omitempty"`
}

// Kind is "empty".
func (*Empty) Kind() string { return "empty" }

// Subjects names the vessel.
func (f *Empty) Subjects() []Account { return []Account{VesselAccount(f.Vessel)} }

// Move carries a vessel to another place.
type Move struct {
	Vessel string `json:"vessel"`
	Place  string `json:"place"`
	Spot          // where there, if that is said
	Note   string `json:"note,omitempty"`
}

// Kind is "move".
func (*Move) Kind() string { return "move" }

// Subjects names the vessel and the place.
func (f *Move) Subjects() []Account {
	return []Account{VesselAccount(f.Vessel), Account("place:" + f.Place)}
}

// Note is words about a vessel or a batch.
type Note struct {
	About Account `json:"about"`
	Note  string  `json:"note"`
}

// Kind is "note".
func (*Note) Kind() string { return "note" }

// Subjects names what it is about.
func (f *Note) Subjects() []Account { return []Account{f.About} }

// Void takes an earlier entry back.
type Void struct {
	Entry  string `json:"entry"` // its ULID
	Reason string `json:"reason"`
}

// Kind is "void".
func (*Void) Kind() string { return "void" }

// Subjects names nothing: the entry taken back does.
func (*Void) Subjects() []Account { return nil }
