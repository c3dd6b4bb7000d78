package blend

// The words of Result.Status.
const (
	StatusOptimal    = "optimal"
	StatusInfeasible = "infeasible"
	StatusUnproven   = "unproven" // a plan that works, but the search stopped before it was proven best
)

// Result is the answer to a plan.
type Result struct {
	Status    string   `json:"status"`
	Objective float64  `json:"objective"`
	By        string   `json:"by"`              // the objective that was used
	Bound     *float64 `json:"bound,omitempty"` // when unproven: no plan can do better than this

	Draws   []Draw  `json:"draws"`
	WaterL  float64 `json:"water_l"`
	WaterKg float64 `json:"water_kg"`
	Made    *Made   `json:"result,omitempty"`

	Targets  []Making  `json:"targets,omitempty"` // each bottling, when there are several
	Portions []Portion `json:"portions,omitempty"`
	LeftOut  []LeftOut `json:"left_out,omitempty"`

	Chance     *Chance    `json:"chance,omitempty"`
	Clash      []string   `json:"clash,omitempty"`       // wishes that cannot be met together, in plain words
	ClashPaths []string   `json:"clash_paths,omitempty"` // where in the plan each of them stands
	Because    string     `json:"because,omitempty"`     // what the stock has to say to it
	Nearest    *Nearest   `json:"nearest,omitempty"`
	Reachable  *Reachable `json:"reachable,omitempty"`
	Work       Work       `json:"work"`
}

// Draw is what to take from a vessel.
type Draw struct {
	ID       string  `json:"id"`
	VolumeL  float64 `json:"volume_l"`
	MassKg   float64 `json:"mass_kg"`
	WeighsKg float64 `json:"weighs_kg"` // what a balance in air shows
}

// Made is what the draws and the water come to, worked out from their masses.
type Made struct {
	VolumeL      float64            `json:"volume_l"`
	StrengthPct  float64            `json:"strength_pct"`
	StrengthSD   float64            `json:"strength_sd,omitempty"`
	PureAlcoholL float64            `json:"pure_alcohol_l"`
	MassKg       float64            `json:"mass_kg"`
	YoungestDays *float64           `json:"youngest_days,omitempty"`
	Residue      *float64           `json:"residue,omitempty"`
	Shares       map[string]float64 `json:"shares,omitempty"`
	Scores       map[string]float64 `json:"scores,omitempty"`
}

// Making is one bottling of several.
type Making struct {
	Name    string  `json:"name,omitempty"`
	Draws   []Draw  `json:"draws"`
	WaterL  float64 `json:"water_l"`
	WaterKg float64 `json:"water_kg"`
	Made    Made    `json:"result"`
}

// LeftOut is a vessel that could not be considered, and why.
type LeftOut struct {
	ID  string `json:"id"`
	Why string `json:"why"`
}

// Work says how hard the answer was to find.
type Work struct {
	Pivots int `json:"pivots"`
	Nodes  int `json:"nodes"`
}
