package blend

import (
	"fmt"
	"math"

	"example.org/croze/internal/spirit"
)

// Lot is what is to be bottled, at 20 °C.
type Lot struct {
	VolumeL     float64
	StrengthPct float64
	StrengthSD  float64 // standard uncertainty, 0 when not known
}

// Size is a size of bottle to fill and how many at most, 0 for as many as the lot gives.
type Size struct {
	NominalMl float64 `json:"nominal_ml"`
	Most      int     `json:"most,omitempty"`
}

// Filler is the room and the filling.
type Filler struct {
	RoomC  float64 // temperature of the spirit as it is filled, °C
	SDMl   float64 // spread of single fills, mL; 0 when not known
	LinesL float64 // what filter and lines keep
}

// Bottled is a lot divided into bottles.
type Bottled struct {
	Runs  []Run   `json:"runs"`
	HeelL float64 `json:"heel_l"` // left when no more of the last size can be filled
	Label Label   `json:"label"`
}

// Run is the bottles of one size.
type Run struct {
	NominalMl  float64 `json:"nominal_ml"`
	Count      int     `json:"count"`
	FillMl     float64 `json:"fill_ml"`      // mean fill at 20 °C
	FillRoomMl float64 `json:"fill_room_ml"` // the same spirit at the room's temperature
	WeighsG    float64 `json:"weighs_g"`     // net, on a balance in air
	ErrorMl    float64 `json:"tolerable_error_ml"`
	UsesL      float64 `json:"uses_l"`
}

const mostSizes = 50

// Bottle divides a lot into bottles, size after size in the order given. Each
// is filled to what the average-quantity rules want of the mean (MeanFill).
func Bottle(lot Lot, sizes []Size, f Filler) (Bottled, error) {
	if err := checkBottling(lot, sizes, f); err != nil {
		return Bottled{}, err
	}
	label, err := LabelStrength(lot.StrengthPct, lot.StrengthSD)
	if err != nil {
		return Bottled{}, err
	}
	out := Bottled{HeelL: lot.VolumeL - f.LinesL, Label: label}
	for _, size := range sizes {
		run, err := f.run(size, lot.StrengthPct, out.HeelL)
		if err != nil {
			return Bottled{}, err
		}
		out.HeelL = math.Max(0, out.HeelL-run.UsesL)
		out.Runs = append(out.Runs, run)
	}
	return out, nil
}

// run fills as many of a size as litres allow.
func (f *Filler) run(size Size, pct, litres float64) (Run, error) {
	fill := MeanFill(size.NominalMl, f.SDMl)
	room, err := spirit.VolumeFrom(spirit.Litres(fill), spirit.Strength(pct), spirit.Reference, spirit.Celsius(f.RoomC))
	if err != nil {
		return Run{}, err
	}
	count := int(math.Floor(1000*litres/fill + 1e-9))
	if size.Most > 0 {
		count = min(count, size.Most)
	}
	grams := fill * density(pct)
	return Run{
		NominalMl: size.NominalMl, Count: count, FillMl: fill, FillRoomMl: float64(room), WeighsG: weighed(grams, density(pct)),
		ErrorMl: TolerableError(size.NominalMl), UsesL: float64(count) * fill / 1000,
	}, nil
}

func checkBottling(lot Lot, sizes []Size, f Filler) error {
	found := &problems{}
	checkNumber(found, "", "lot volume", lot.VolumeL, aVolume)
	checkNumber(found, "", "lot strength", lot.StrengthPct, aStrength)
	checkNumber(found, "", "lot strength sd", lot.StrengthSD, aStrength)
	checkNumber(found, "", "room temperature", f.RoomC, scope{float64(spirit.ColdestLiquid), float64(spirit.WarmestLiquid), false})
	checkNumber(found, "", "spread of fills", f.SDMl, scope{0, 1000, false})
	checkNumber(found, "", "kept by filter and lines", f.LinesL, scope{0, lot.VolumeL, false})
	if len(sizes) == 0 || len(sizes) > mostSizes {
		found.add("sizes", "has %d sizes of bottle; give 1 to %d", len(sizes), mostSizes)
	}
	for i, s := range sizes {
		checkNumber(found, "", fmt.Sprintf("sizes[%d].nominal_ml", i), s.NominalMl, scope{5, 100_000, false})
		if s.Most < 0 {
			found.add(fmt.Sprintf("sizes[%d].most", i), "%d is below 0", s.Most)
		}
	}
	return found.err()
}

// LabelTolerance is how far the true strength of a spirit may be from its
// label, in % vol: Regulation (EU) 1169/2011 Annex XII; 27 CFR 5.65.
const LabelTolerance = 0.3

// Label is the strength to print, to one decimal as the EU asks for.
type Label struct {
	TruePct  float64  `json:"true_pct"`
	LabelPct float64  `json:"label_pct"`
	ProofUS  float64  `json:"proof_us"` // of the true strength
	Within   bool     `json:"within"`   // of LabelTolerance
	Chance   *float64 `json:"chance,omitempty"`
}

// LabelStrength rounds a strength for the label. The chance is that of the
// true strength being within the tolerance, when its standard uncertainty is known.
func LabelStrength(pct, sd float64) (Label, error) {
	return CheckLabel(pct, sd, math.Round(pct*10)/10)
}

// CheckLabel holds a printed strength against the true one.
func CheckLabel(pct, sd, label float64) (Label, error) {
	found := &problems{}
	checkNumber(found, "", "strength", pct, aStrength)
	checkNumber(found, "", "strength sd", sd, aStrength)
	checkNumber(found, "", "label strength", label, aStrength)
	if err := found.err(); err != nil {
		return Label{}, err
	}
	proof, err := spirit.Strength(pct).Proof()
	if err != nil {
		return Label{}, err
	}
	off := label - pct
	l := Label{TruePct: pct, LabelPct: label, ProofUS: float64(proof), Within: math.Abs(off) <= LabelTolerance+1e-9}
	if sd > 0 {
		chance := normal((off+LabelTolerance)/sd) - normal((off-LabelTolerance)/sd)
		l.Chance = &chance
	}
	return l, nil
}
