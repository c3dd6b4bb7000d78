package book

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/loss"
)

// Standing says how near a vessel is to what was asked of it.
type Standing string

// The standings, the most pressing first.
const (
	Past   Standing = "past it"
	Ready  Standing = "ready"
	Nearly Standing = "nearly"
	NotYet Standing = "not yet"
)

var standingOrder = []Standing{Past, Ready, Nearly, NotYet}

// nearlyDays is how far off something may be to be nearly there.
const nearlyDays = 180

// Readiness is a vessel held against its aim.
type Readiness struct {
	Vessel   string
	Place    string
	Asked    cellar.Ready
	Words    string
	Standing Standing
	Findings []ReadyFinding
	Year     YearOn
}

// ReadyFinding is one thing asked, and how it stands.
type ReadyFinding struct {
	Standing Standing
	Text     string
}

// Why is what decides: the findings of the vessel's own standing.
func (r Readiness) Why() string {
	why := ""
	for _, f := range r.Findings {
		if f.Standing == r.Standing {
			if why != "" {
				why += "; "
			}
			why += f.Text
		}
	}
	return why
}

// YearOn is what leaving a vessel another year does to it.
type YearOn struct {
	VolumeL      loss.Estimate // change of content, litres; a loss is below 0
	StrengthPct  loss.Estimate // change of strength, % vol
	PureAlcoholL float64       // change, litres
	Value        float64       // change of worth at today's value of a litre; 0: none is set
	Valued       bool
}

// AnotherYear forecasts a vessel a year on, if nothing is done to it.
func (v *View) AnotherYear(code string) YearOn {
	y := remember(v, code, "another year", func() YearOn {
		now := v.StockLine(code).State
		then, known := v.Model.State(code, dayNumber(v.At)+daysPerYear)
		if !known || now.VolumeL.Mean <= 0 {
			return YearOn{}
		}
		return YearOn{
			VolumeL: changed(now.VolumeL, then.VolumeL), StrengthPct: changed(now.StrengthPct, then.StrengthPct),
			PureAlcoholL: then.PureAlcoholL.Mean - now.PureAlcoholL.Mean,
		}
	})
	if perL := v.ValuePerL(code); perL > 0 { // a kind's value may change without an entry about the vessel
		y.Valued, y.Value = true, perL*y.VolumeL.Mean
	}
	return y
}

// changed takes what is not known of today for known a year on as well: the
// spread that the year adds is what counts.
func changed(now, then loss.Estimate) loss.Estimate {
	return normal(then.Mean-now.Mean, math.Sqrt(math.Max(0, then.SD*then.SD-now.SD*now.SD)))
}

// Readiness holds every vessel with an aim against it, the most pressing first.
func (v *View) Readiness() []Readiness {
	return remember(v, "", "readiness", func() []Readiness {
		var all []Readiness
		for _, code := range v.State.VesselCodes() {
			if r, aimed := v.readinessOf(code); aimed {
				all = append(all, r)
			}
		}
		slices.SortStableFunc(all, func(a, b Readiness) int {
			return cmp.Or(cmp.Compare(slices.Index(standingOrder, a.Standing), slices.Index(standingOrder, b.Standing)),
				cmp.Compare(a.Year.Value, b.Year.Value), cmp.Compare(a.Vessel, b.Vessel))
		})
		return all
	})
}

func (v *View) readinessOf(code string) (Readiness, bool) {
	aim, set := v.State.ReadyOf(code)
	if !set {
		return Readiness{}, false
	}
	r := Readiness{Vessel: code, Place: v.State.Vessels[code].PlacedAt, Asked: *aim.Ready, Words: aim.Words, Standing: Ready, Year: v.AnotherYear(code)}
	line := v.StockLine(code)
	r.addAge(line)
	r.addFloor(v, line)
	r.addContact(v)
	r.addScores(v)
	r.settle()
	return r, true
}

func (r *Readiness) add(s Standing, format string, args ...any) {
	r.Findings = append(r.Findings, ReadyFinding{s, fmt.Sprintf(format, args...)})
}

// settle takes the worst: past it in one thing is past it; what is not yet holds
// the rest back.
func (r *Readiness) settle() {
	for _, s := range []Standing{Past, NotYet, Nearly} {
		if slices.ContainsFunc(r.Findings, func(f ReadyFinding) bool { return f.Standing == s }) {
			r.Standing = s
			return
		}
	}
}

func (r *Readiness) addAge(line StockLine) {
	age := line.YoungestDays
	said := cellar.SpanBetween(0, cellar.Day(age))
	switch wanted, latest := r.Asked.AgeDays, r.Asked.LatestDays; {
	case latest > 0 && age > latest:
		r.add(Past, "%s in wood, and it was to be no older than %s", said, cellar.SpanBetween(0, cellar.Day(latest)))
	case wanted > 0 && age < wanted:
		left, standing := wanted-age, NotYet
		if left <= nearlyDays {
			standing = Nearly
		}
		r.add(standing, "%s in wood of %s: %s to go", said, cellar.SpanBetween(0, cellar.Day(wanted)), about(float64(left)))
	case wanted > 0:
		r.add(Ready, "%s in wood", said)
	}
}

func (r *Readiness) addFloor(v *View, line StockLine) {
	floor := r.Asked.FloorPct
	if floor == 0 {
		return
	}
	if line.StrengthPct < floor {
		r.add(Past, "%.1f %% vol is below its floor of %.1f", line.StrengthPct, floor)
		return
	}
	now := dayNumber(v.At)
	left := remember(v, line.Vessel, "floor", func() float64 { // days
		day, falls := v.Model.Reaches(line.Vessel, loss.StrengthQuantity, floor, now)
		if !falls {
			return math.Inf(1)
		}
		return day.Mean - now
	})
	if !math.IsInf(left, 1) {
		r.add(Ready, "%.1f %% vol; it falls to its floor of %.1f in about %s", line.StrengthPct, floor, about(left))
		return
	}
	r.add(Ready, "%.1f %% vol, above its floor of %.1f", line.StrengthPct, floor)
}

// about says a time to come as coarsely as it is known: days, months or years.
func about(days float64) string {
	switch {
	case days < 120:
		return fmt.Sprintf("%.0f days", days)
	case days < 2*daysPerYear:
		return fmt.Sprintf("%.0f months", days/daysPerYear*12)
	}
	return fmt.Sprintf("%.0f years", days/daysPerYear)
}

func (r *Readiness) addContact(v *View) {
	if r.Asked.Contact == 0 && r.Asked.MostWood == 0 {
		return
	}
	now, summed, known := v.ContactOf(r.Vessel)
	if !known {
		r.add(NotYet, "the area of its wood is not known: register it")
		return
	}
	switch wanted, most := r.Asked.Contact, r.Asked.MostWood; {
	case most > 0 && summed > most:
		r.add(Past, "wood contact of %.0f cm²·years a litre, and it was to be no more than %.0f", summed, most)
	case wanted > 0 && summed < wanted:
		days, standing := (wanted-summed)/now*daysPerYear, NotYet
		if days <= nearlyDays {
			standing = Nearly
		}
		r.add(standing, "wood contact of %.0f of %.0f cm²·years a litre: about %s to go", summed, wanted, about(days))
	default:
		r.add(Ready, "wood contact of %.0f cm²·years a litre", summed)
	}
}

// addScores takes a score within half a point of its band for nearly there.
func (r *Readiness) addScores(v *View) {
	means := v.ScoreMeans()[r.Vessel]
	for _, band := range r.Asked.Scores {
		const near = 0.5
		mean, scored := means[band.Of]
		switch x := mean.Score; {
		case !scored:
			r.add(NotYet, "nobody has scored its %s", band.Of)
		case x >= band.Min && x <= band.Max:
			r.add(Ready, "%s scores %.1f", band.Of, x)
		case x > band.Max+near:
			r.add(Past, "%s scores %.1f, above %g", band.Of, x, band.Max)
		case x >= band.Min-near:
			r.add(Nearly, "%s scores %.1f, just outside %g to %g", band.Of, x, band.Min, band.Max)
		default:
			r.add(NotYet, "%s scores %.1f of %g", band.Of, x, band.Min)
		}
	}
}

// SetReady says what a vessel should come to; nil takes that back.
func (b *Book) SetReady(id, who, written string, ready *cellar.Ready, words string) error {
	code, err := b.codeOf("vessel", written)
	if err != nil {
		return err
	}
	aim := &cellar.Aim{Vessel: code, For: cellar.AimReady, Ready: ready, Words: words}
	if err := cellar.CheckAim(aim); err != nil {
		return err
	}
	if b.shown.Load().state.IsEmpty(code) {
		return &cellar.Problem{Kind: cellar.Refused, Field: "vessel", Value: code, Reason: "it is empty: an aim is for what is in it"}
	}
	_, err = b.postDesk(id, who, aim)
	return err
}
