package book

import (
	"fmt"
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
		drawn := v.plannedDraws()
		var years []ProfileYear
		v.withTable(func(t *table, now *View) {
			if len(t.rows) <= smallStock {
				t.estimate(now, everyRow(len(t.rows)))
			}
			years = now.ageProfile(t.rows, drawn)
		})
		return years
	})
}

// profileShares is in how many shares the rows are gone through: always as many,
// so that the sums are the same on every machine.
const profileShares = 16

func (v *View) ageProfile(rows []TableRow, drawn map[string][]plannedDraw) []ProfileYear {
	var shares [profileShares][ProfileYears + 1]ProfileYear
	inParallel(profileShares, func(share int) {
		for i := share; i < len(rows); i += profileShares {
			if r := &rows[i]; !r.Empty() {
				v.addProfile(shares[share][:], r, v.alcoholAhead(r, len(rows)), drawn[r.Vessel])
			}
		}
	})
	years := make([]ProfileYear, ProfileYears+1)
	for year := range years {
		years[year].Ahead = year
		for share := range shares {
			for band := range ProfileBands {
				years[year].Bands[band] += shares[share][year].Bands[band]
				years[year].Planned[band] += shares[share][year].Planned[band]
			}
		}
	}
	return years
}

// alcoholAhead gives a vessel's pure alcohol now and after each year, in a
// stock of so many.
func (v *View) alcoholAhead(r *TableRow, stock int) [ProfileYears + 1]float64 {
	if stock <= smallStock && v.Model != nil {
		return remember(v, r.Vessel, "ahead", func() [ProfileYears + 1]float64 { return v.estimatedAhead(r) })
	}
	return ratedAhead(r)
}

// ratedAhead has a vessel's present yearly rate go on.
func ratedAhead(r *TableRow) (litres [ProfileYears + 1]float64) {
	litres[0] = r.PureAlcoholL
	kept := math.Exp(-r.State.PureAlcoholLossPctPerYear.Mean / 100)
	for year := 1; year < len(litres); year++ {
		litres[year] = kept * litres[year-1]
	}
	return litres
}

func (v *View) estimatedAhead(r *TableRow) [ProfileYears + 1]float64 {
	litres, now := ratedAhead(r), dayNumber(v.At)
	for year, s := range v.Model.Path(r.Vessel, now, now+daysPerYear*ProfileYears+1, daysPerYear) {
		litres[year] = s.PureAlcoholL.Mean
	}
	return litres
}

// agePart is a share of a vessel's pure alcohol and its days in wood.
type agePart struct{ share, days float64 }

// agePartsOf shares a content out by age.
func agePartsOf(contents cellar.Contents) []agePart {
	whole := 0.0
	for _, p := range contents.Parts {
		whole += float64(p.EthanolMg)
	}
	parts := make([]agePart, len(contents.Parts))
	for i, p := range contents.Parts {
		parts[i] = agePart{float64(p.EthanolMg) / whole, float64(p.WoodDays())}
	}
	return parts
}

func (v *View) addProfile(years []ProfileYear, r *TableRow, litres [ProfileYears + 1]float64, drawn []plannedDraw) {
	wooden := cellar.VesselKind(r.Kind).Wooden()
	for year := range years {
		kept := 1.0
		for _, d := range drawn {
			if float64(d.on-v.On) <= float64(year)*daysPerYear {
				kept = max(0, kept-d.share)
			}
		}
		for _, p := range r.ages {
			days := p.days
			if wooden {
				days += float64(year) * daysPerYear
			}
			band := min(ProfileBands-1, int(days/daysPerYear))
			share := p.share * litres[year]
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

// League lists filled vessels of wood or with wood by how their loss compares
// with what a vessel of the same kind, size and place loses, the fastest first,
// at most so many.
func (v *View) League(most int) []LeagueLine {
	return remember(v, "", fmt.Sprint("league ", most), func() []LeagueLine {
		var lines []LeagueLine
		v.withTable(func(t *table, now *View) {
			if len(t.rows) <= smallStock {
				t.estimate(now, everyRow(len(t.rows)))
			}
			for _, i := range t.order(StockQuery{Sort: "rate", Down: true}, make([]float64, len(t.rows))) {
				r := &t.rows[i]
				if r.Empty() || r.Basis == ByBooks || !cellar.VesselKind(r.Kind).Wooden() {
					continue
				}
				if len(lines) == most {
					break
				}
				lines = append(lines, leagueLine(r))
			}
		})
		return lines
	})
}

func leagueLine(r *TableRow) LeagueLine {
	line := LeagueLine{
		Vessel: r.Vessel, Kind: r.Kind, Place: r.Place, CapacityL: r.CapacityL, Rate: r.RateVsKind, Low: r.RateVsKind, High: r.RateVsKind,
		Loss: r.State.LossPctPerYear, LostPerYearL: r.PureAlcoholL * r.State.PureAlcoholLossPctPerYear.Mean / 100, Flags: r.Flags,
	}
	if mean := line.Loss.Mean; mean > 0 {
		line.Low, line.High = max(0, line.Rate*line.Loss.Low/mean), line.Rate*line.Loss.High/mean
	}
	return line
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
