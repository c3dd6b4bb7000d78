package cellar

import (
	"sort"

	"example.org/croze/internal/spirit"
)

// VesselKind says how a vessel touches wood.
type VesselKind string

// The kinds of vessel.
const (
	Cask   VesselKind = "cask"   // wooden all round
	Hybrid VesselKind = "hybrid" // steel body with a wooden head
	Jar    VesselKind = "jar"    // glass with staves in it
	Tank   VesselKind = "tank"   // inert: steel or glass, no wood
)

// VesselKinds lists the kinds in the order in which people think of them.
var VesselKinds = []VesselKind{Cask, Hybrid, Jar, Tank}

// Wooden says whether spirit ages in it.
func (k VesselKind) Wooden() bool { return k == Cask || k == Hybrid || k == Jar }

// WoodState says whether the wood held spirit before.
type WoodState string

// The states of wood; "" is not known.
const (
	NewWood  WoodState = "new"
	UsedWood WoodState = "used"
)

// Vessel is what is registered of a vessel; what is in it is in the State.
type Vessel struct {
	Code       string           `json:"code"`
	Kind       VesselKind       `json:"kind"`
	CapacityL  spirit.Litres    `json:"capacity_l"`
	Wood       string           `json:"wood,omitempty"`
	WoodState  WoodState        `json:"wood_state,omitempty"`
	WoodAreaM2 float64          `json:"wood_area_m2,omitempty"` // 0: not measured
	Place      string           `json:"place,omitempty"`        // where it was when registered
	Spot                        // and where there
	TareKg     spirit.Kilograms `json:"tare_kg,omitempty"` // 0: not weighed
	Inside     *Inside          `json:"inside,omitempty"`  // nil: not measured
	MakerCode  string           `json:"maker_code,omitempty"`
	Note       string           `json:"note,omitempty"`
}

// Spot is where in a place a vessel stands: a row, and how high in it.
type Spot struct {
	Row  string `json:"row,omitempty"`
	Tier string `json:"tier,omitempty"`
}

// Words says the spot in words: "row A, tier 2"; "" where nothing is said.
func (s Spot) Words() string {
	switch {
	case s.Row == "" && s.Tier == "":
		return ""
	case s.Tier == "":
		return "row " + s.Row
	case s.Row == "":
		return "tier " + s.Tier
	}
	return "row " + s.Row + ", tier " + s.Tier
}

// check holds a spot to names.
func (s Spot) check() error {
	for field, name := range map[string]string{"row": s.Row, "tier": s.Tier} {
		if name == "" {
			continue
		}
		if err := CheckName(field, name); err != nil {
			return err
		}
	}
	return nil
}

// WoodLabel names the wood that spirit in the vessel counts its days in; an
// inert vessel has none.
func (v Vessel) WoodLabel() string {
	if !v.Kind.Wooden() {
		return ""
	}
	label := v.Wood
	if label == "" {
		label = "wood"
	}
	if v.WoodState != "" {
		label += ", " + string(v.WoodState)
	}
	return label
}

// Place is where vessels stand.
type Place struct {
	Name        string   `json:"place"`
	TempC       *float64 `json:"temp_c,omitempty"`       // yearly mean, if known
	HumidityPct *float64 `json:"humidity_pct,omitempty"` // yearly mean, if known
}

// Batch is what was distilled in one go.
type Batch struct {
	Name   string             `json:"batch"`
	MadeOn Day                `json:"made_on,omitempty"`
	Made   spirit.Amount      `json:"made"` // zero: not stated, as much as was filled from it
	Grains map[string]float64 `json:"grains,omitempty"`
	Yeast  string             `json:"yeast,omitempty"`
	Note   string             `json:"note,omitempty"`
	// As written, kept beside the amount worked out of them.
	VolumeL     spirit.Litres   `json:"volume_l,omitempty"`
	StrengthPct spirit.Strength `json:"strength_pct,omitempty"`
}

// GrainNames returns the grains, largest share first.
func (b Batch) GrainNames() []string {
	names := make([]string, 0, len(b.Grains))
	for name := range b.Grains {
		names = append(names, name)
	}
	sort.Slice(names, func(i, j int) bool {
		if b.Grains[names[i]] != b.Grains[names[j]] {
			return b.Grains[names[i]] > b.Grains[names[j]]
		}
		return names[i] < names[j]
	})
	return names
}
