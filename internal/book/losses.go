package book

import (
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// ListedLoss is a vessel that lost more than the limit of its kind allows, by
// the gauges of a period, and what was said about it.
//
// What counts is evaporation and what is unexplained, gains taken off; indrink,
// spills and handling have their own lines. The gauges of a period speak for the
// time since the gauge before them, so the loss is set against the alcohol that
// the books had in the vessel in that time, day by day.
type ListedLoss struct {
	Vessel     string  `json:"vessel"`
	Kind       string  `json:"kind"`
	LostL      float64 `json:"lost_l"` // pure alcohol
	AllowedL   float64 `json:"allowed_l"`
	PctPerYear float64 `json:"pct_per_year"`
	LimitPct   float64 `json:"limit_pct_per_year"`
	Days       int     `json:"days"` // that its gauges speak for
	Said       []Said  `json:"explanations,omitempty"`
}

// Said is words about a loss.
type Said struct {
	Who   string `json:"who"`
	Words string `json:"words"`
}

const daysPerYear = 365.25

func (v *View) listedLosses(p Period, codes []string) []ListedLoss {
	posted := v.postedLosses()
	var listed []ListedLoss
	for _, code := range codes {
		vessel := v.State.Vessels[code]
		limit := v.State.Limits[vessel.Kind]
		if limit <= 0 {
			continue
		}
		found := exposureOf(vessel, p, posted[code])
		allowed := limit / 100 / daysPerYear * found.alcoholDays
		if found.lost <= allowed {
			continue
		}
		listed = append(listed, ListedLoss{
			Vessel: code, Kind: string(vessel.Kind), LimitPct: limit, Days: found.days,
			LostL: pureLitres(found.lost), AllowedL: pureLitres(allowed),
			PctPerYear: 100 * daysPerYear * found.lost / max(found.alcoholDays, found.lost*daysPerYear/1000), // at most 100 000 %
			Said:       v.said(code, p),
		})
	}
	return listed
}

func pureLitres(ethanolMg float64) float64 {
	return float64(spirit.Amount{EthanolMg: int64(ethanolMg)}.PureAlcohol())
}

// postedLosses sums, by vessel and entry, the ethanol that went to the angels or
// nobody knows where, mg.
func (v *View) postedLosses() map[string]map[uint64]int64 {
	posted := make(map[string]map[uint64]int64)
	for _, m := range v.State.Movements {
		code, ok := m.From.Vessel()
		if !ok || m.To != cellar.Angels && m.To != cellar.Unexplained {
			continue
		}
		if posted[code] == nil {
			posted[code] = make(map[uint64]int64)
		}
		posted[code][m.Seq] += m.Amount.EthanolMg
	}
	return posted
}

// exposure is what a vessel lost by the gauges of a period, and to how much
// alcohol for how long that happened.
type exposure struct {
	lost        float64 // mg of ethanol
	alcoholDays float64 // mg of ethanol times days
	days        int
}

func exposureOf(vessel *cellar.VesselState, p Period, posted map[uint64]int64) exposure {
	var sum, run exposure
	var held float64
	var last cellar.Day
	for _, e := range vessel.Events {
		day := e.Entry.Day()
		if held > 0 && day > last {
			run.alcoholDays += held * float64(day-last)
			run.days += int(day - last)
		}
		lost := posted[e.Entry.Seq]
		if e.Filled || e.Emptied || lost != 0 || e.Reading != nil && e.Content != nil {
			if day >= p.From && day <= p.To {
				sum.lost += float64(lost)
				sum.alcoholDays += run.alcoholDays
				sum.days += run.days
			}
			run = exposure{}
		}
		held, last = float64(e.Book.EthanolMg), day
	}
	return sum
}

// said lists the words about a vessel's loss in a period, or in one within it.
func (v *View) said(code string, p Period) []Said {
	var said []Said
	for _, e := range v.State.Explanations {
		if e.Vessel == code && e.Explain.From >= p.From && e.Explain.To <= p.To {
			said = append(said, Said{e.Entry.Who, e.Words})
		}
	}
	return slices.Clip(said)
}

// Limits lists the limits of all kinds, 0 where there is none.
func (v *View) Limits() []cellar.Limit {
	limits := make([]cellar.Limit, len(cellar.VesselKinds))
	for i, kind := range cellar.VesselKinds {
		limits[i] = cellar.Limit{Of: kind, PctPerYear: v.State.Limits[kind]}
	}
	return limits
}
