package blend

import "example.org/croze/internal/spirit"

// Kinds of plan.
const (
	KindBlend     = "blend"     // several vessels, and water if allowed
	KindReduction = "reduction" // one vessel and water
)

// Plan is what is wished for and what there is to make it from. It is the
// plan file; docs/planner.md describes every field.
type Plan struct {
	Kind      string             `json:"kind"`
	Target    *Target            `json:"target,omitempty"`
	Targets   []Target           `json:"targets,omitempty"`
	Sources   []Source           `json:"sources"`
	Water     bool               `json:"water"`
	Objective string             `json:"objective,omitempty"`
	Wanted    map[string]float64 `json:"wanted,omitempty"`
	Weights   map[string]float64 `json:"weights,omitempty"`
	Limits    *Limits            `json:"limits,omitempty"`
	Chance    float64            `json:"chance,omitempty"`
	PortionL  float64            `json:"portion_l,omitempty"`
}

// Target is one bottling to make. Its own limits and wanted scores replace the
// plan's where they are given.
type Target struct {
	Name        string             `json:"name,omitempty"`
	VolumeL     float64            `json:"volume_l"`
	StrengthPct float64            `json:"strength_pct"`
	Limits      *Limits            `json:"limits,omitempty"`
	Wanted      map[string]float64 `json:"wanted,omitempty"`
}

// Source is a vessel that may be drawn on. A pointer that is nil is a thing not known.
type Source struct {
	ID             string             `json:"id"`
	AvailableL     float64            `json:"available_l"`
	StrengthPct    float64            `json:"strength_pct"`
	AgeDays        *float64           `json:"age_days,omitempty"`
	CostPerL       *float64           `json:"cost_per_l,omitempty"`
	LossPctPerYear *float64           `json:"loss_pct_per_year,omitempty"`
	Residue        *float64           `json:"residue,omitempty"` // dissolved solids, g/100 mL
	Shares         map[string]float64 `json:"shares,omitempty"`  // 0 to 1 of the pure alcohol
	Scores         map[string]float64 `json:"scores,omitempty"`
	KeepL          float64            `json:"keep_l,omitempty"` // to stay in the vessel
	MinL           float64            `json:"min_l,omitempty"`  // least draw, if any
	Whole          bool               `json:"whole,omitempty"`  // all but keep_l, or nothing
	MustUse        bool               `json:"must_use,omitempty"`
	MustNotUse     bool               `json:"must_not_use,omitempty"`
	VolumeSDL      float64            `json:"volume_sd_l,omitempty"` // standard uncertainty of available_l
	StrengthSD     float64            `json:"strength_sd,omitempty"` // standard uncertainty of strength_pct

	given known
}

// known is what is known of a source besides its fields: that the plan file
// only names it, and, while a clash is looked for, the least that counts as the
// whole of it once keep_l is dropped. Without that, dropping a wish could make a
// plan impossible, since whole means all but keep_l.
type known struct {
	unfilled   bool
	wholeLeast float64
}

// Limits narrow what may be made.
type Limits struct {
	MinAgeDays float64 `json:"min_age_days,omitempty"` // every vessel at least this old
	MaxVessels int     `json:"max_vessels,omitempty"`  // 0 for any number
	MaxResidue float64 `json:"max_residue,omitempty"`  // g/100 mL in the result, 0 for any
	Shares     []Band  `json:"shares,omitempty"`
	Scores     []Band  `json:"scores,omitempty"`
}

// Band bounds a share (0 to 1) or a score of the result.
type Band struct {
	Of  string   `json:"of"`
	Min *float64 `json:"min,omitempty"`
	Max *float64 `json:"max,omitempty"`
}

// Objectives: what makes one plan better than another.
const (
	LeastCost          = "least_cost"
	OldestFirst        = "oldest_first"
	YoungestFirst      = "youngest_first"
	FastestLosingFirst = "fastest_losing_first"
	FewestVessels      = "fewest_vessels"
	LeastWater         = "least_water"
	ClosestScores      = "closest_scores"
)

// Objectives lists them all, in the order to offer them in.
func Objectives() []string {
	return []string{LeastCost, OldestFirst, YoungestFirst, FastestLosingFirst, FewestVessels, LeastWater, ClosestScores}
}

// goals returns the bottlings to make with limits and wanted scores settled.
func (p *Plan) goals() []Target {
	goals := append([]Target(nil), p.Targets...)
	if p.Target != nil {
		goals = append([]Target{*p.Target}, goals...)
	}
	for i := range goals {
		if goals[i].Limits == nil {
			goals[i].Limits = p.Limits
		}
		if goals[i].Limits == nil {
			goals[i].Limits = &Limits{}
		}
		if goals[i].Wanted == nil {
			goals[i].Wanted = p.Wanted
		}
	}
	return goals
}

// usable is what may be drawn from a source: what it holds less what stays.
func (s *Source) usable() float64 { return max(0, s.AvailableL-s.KeepL) }

// density is kg/L at 20 °C; the strength is taken as checked.
func density(strengthPct float64) float64 {
	d, err := spirit.Strength(strengthPct).Density()
	if err != nil {
		return float64(spirit.WaterDensity) / 1000
	}
	return float64(d) / 1000
}
