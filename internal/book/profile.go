package book

import (
	"math"
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
)

// The age profile counts pure alcohol by whole years of its parts in wood, the
// last band being everything older.
const (
	ProfileBands = 13 // 0, 1, … 11 years, and 12 or more
	ProfileYears = 10 // looked ahead
)

// ProfileYear is the stock's pure alcohol by age, so many years on.
type ProfileYear struct {
	Ahead   int
	Bands   [ProfileBands]float64 // litres of pure alcohol, if nothing more is done
	Planned [ProfileBands]float64 // and if the plans that wait are made on their days
}

// Total is all of it.
func (y ProfileYear) Total() float64 { return sumOf(y.Bands) }

// TotalPlanned is what the plans leave.
func (y ProfileYear) TotalPlanned() float64 { return sumOf(y.Planned) }

func sumOf(bands [ProfileBands]float64) float64 {
	sum := 0.0
	for _, l := range bands {
		sum += l
	}
	return sum
}

// AgeProfile projects the stock from today over ten years. What evaporates is
// the estimator's in a store of ordinary size; in a very large one each vessel's
// present yearly rate goes on.
func (v *View) AgeProfile() []ProfileYear {
	return remember(v, "", "profile", func() []ProfileYear {
		years := make([]ProfileYear, ProfileYears+1)
		for i := range years {
			years[i].Ahead = i
		}
		drawn := v.plannedDraws()
		page := v.Query(StockQuery{})
		ahead := v.alcoholAhead(page.Rows)
		for i := range page.Rows {
			v.addProfile(years, &page.Rows[i], ahead[i], drawn[page.Rows[i].Vessel])
		}
		return years
	})
}

// alcoholAhead gives each vessel's pure alcohol now and after each year.
func (v *View) alcoholAhead(rows []TableRow) [][]float64 {
	out := make([][]float64, len(rows))
	inParallel(len(rows), func(i int) {
		r := &rows[i]
		if len(rows) <= smallStock && v.Model != nil {
			out[i] = remember(v, r.Vessel, "ahead", func() []float64 { return v.estimatedAhead(r) })
			return
		}
		out[i] = ratedAhead(r)
	})
	return out
}

// ratedAhead has a vessel's present yearly rate go on.
func ratedAhead(r *TableRow) []float64 {
	litres := make([]float64, ProfileYears+1)
	for year := range litres {
		litres[year] = r.PureAlcoholL * math.Exp(-float64(year)*r.State.PureAlcoholLossPctPerYear.Mean/100)
	}
	return litres
}

func (v *View) estimatedAhead(r *TableRow) []float64 {
	litres, now := ratedAhead(r), dayNumber(v.At)
	for year, s := range v.Model.Path(r.Vessel, now, now+daysPerYear*ProfileYears+1, daysPerYear) {
		litres[year] = s.PureAlcoholL.Mean
	}
	return litres
}

func (v *View) addProfile(years []ProfileYear, r *TableRow, litres []float64, drawn []plannedDraw) {
	parts := v.State.ContentsOn(cellar.VesselAccount(r.Vessel), v.On).Parts
	whole := 0.0
	for _, p := range parts {
		whole += float64(p.EthanolMg)
	}
	wooden := v.State.Vessels[r.Vessel].Kind.Wooden()
	for year := range years {
		kept := 1.0
		for _, d := range drawn {
			if float64(d.on-v.On) <= float64(year)*daysPerYear {
				kept = max(0, kept-d.share)
			}
		}
		for _, p := range parts {
			days := float64(p.WoodDays())
			if wooden {
				days += float64(year) * daysPerYear
			}
			band := min(ProfileBands-1, int(days/daysPerYear))
			share := float64(p.EthanolMg) / whole * litres[year]
			years[year].Bands[band] += share
			years[year].Planned[band] += kept * share
		}
	}
}

// plannedDraw is the share of a vessel's content that a plan takes, and when.
type plannedDraw struct {
	on    cellar.Day
	share float64
}

// plannedDraws are those of the plans that wait. One without a day, or whose day
// is past, is taken to be made at once.
func (v *View) plannedDraws() map[string][]plannedDraw {
	draws := make(map[string][]plannedDraw)
	for _, plan := range v.PlansWaiting() {
		for _, d := range plan.Draws {
			if v.State.IsEmpty(d.Vessel) {
				continue
			}
			if held := v.StockLine(d.Vessel).VolumeL; held > 0 {
				draws[d.Vessel] = append(draws[d.Vessel], plannedDraw{max(plan.Wanted, v.On), min(1, d.VolumeL/held)})
			}
		}
	}
	return draws
}

// LeagueLine is a vessel's loss beside that of its like.
type LeagueLine struct {
	Vessel, Kind, Place string
	CapacityL           float64
	Rate, Low, High     float64       // over what its like lose; 1 is usual
	Loss                loss.Estimate // % of the content a year
	LostPerYearL        float64       // litres of pure alcohol
	Flags               []string
}

// League lists the filled vessels of wood or with wood by how their loss compares
// with what a vessel of the same kind, size and place loses, the fastest first.
func (v *View) League() []LeagueLine {
	return remember(v, "", "league", func() []LeagueLine {
		var lines []LeagueLine
		for _, r := range v.Query(StockQuery{Sort: "rate", Down: true}).Rows {
			if r.Empty() || r.Basis == ByBooks || !cellar.VesselKind(r.Kind).Wooden() {
				continue
			}
			line := LeagueLine{
				Vessel: r.Vessel, Kind: r.Kind, Place: r.Place, CapacityL: r.CapacityL, Rate: r.RateVsKind, Low: r.RateVsKind, High: r.RateVsKind,
				Loss: r.State.LossPctPerYear, LostPerYearL: r.PureAlcoholL * r.State.PureAlcoholLossPctPerYear.Mean / 100, Flags: r.Flags,
			}
			if mean := line.Loss.Mean; mean > 0 {
				line.Low, line.High = max(0, line.Rate*line.Loss.Low/mean), line.Rate*line.Loss.High/mean
			}
			lines = append(lines, line)
		}
		return lines
	})
}

// MapPlace is a place with what stands in it, row by row and tier by tier.
type MapPlace struct {
	Name  string
	Tiers []string // the highest first; one without a name is of vessels whose tier nobody said
	Rows  []string
	Cells map[string]map[string][]TableRow // by tier and row
	Count int
}

// PlaceMap lays the stock out by place. Vessels without a row stand in a row
// without a name.
func (v *View) PlaceMap() []MapPlace {
	places := make(map[string]*MapPlace)
	for _, r := range v.Query(StockQuery{Sort: "place"}).Rows {
		p := places[r.Place]
		if p == nil {
			p = &MapPlace{Name: r.Place, Cells: make(map[string]map[string][]TableRow)}
			places[r.Place] = p
		}
		if p.Cells[r.Spot.Tier] == nil {
			p.Cells[r.Spot.Tier] = make(map[string][]TableRow)
			p.Tiers = append(p.Tiers, r.Spot.Tier)
		}
		if !slices.Contains(p.Rows, r.Spot.Row) {
			p.Rows = append(p.Rows, r.Spot.Row)
		}
		p.Cells[r.Spot.Tier][r.Spot.Row] = append(p.Cells[r.Spot.Tier][r.Spot.Row], r)
		p.Count++
	}
	var out []MapPlace
	for _, p := range places {
		slices.SortFunc(p.Tiers, func(a, b string) int { return -compareRows(a, b) })
		slices.SortFunc(p.Rows, compareRows)
		out = append(out, *p)
	}
	slices.SortFunc(out, func(a, b MapPlace) int { return compareRows(a.Name, b.Name) })
	return out
}
