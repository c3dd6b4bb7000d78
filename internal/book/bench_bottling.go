package book

import (
	"fmt"
	"strings"
	"time"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/identity"
	"example.org/croze/internal/spirit"
)

// BottlingWish is what is to be bottled, and under which law.
type BottlingWish struct {
	Sizes        []blend.Size
	RoomC        float64  // temperature of the spirit as it is filled
	SDMl         float64  // spread of single fills; 0: not known
	LinesL       float64  // what filter and lines keep
	VolumeL      *float64 // in the vessel, gauged; nil: the estimate
	StrengthPct  *float64 // gauged; nil: the estimate
	LabelPct     *float64 // nil: rounded to one decimal
	Jurisdiction string   // code; "": no law is asked
	OnlyWater    bool     // nothing but water was added to it
	MadeIn       string   // where it was made, in the words of the rules; "": not said
}

// Bottling is what comes of a wish.
type Bottling struct {
	blend.Bottled
	Lot      blend.Lot
	Bottles  int
	Age      blend.Age // of the youngest part, by the calendar, in wood of any kind
	InWood   bool
	Youngest int // days in wood of the youngest part
	Report   *identity.Report
	Batches  []cellar.Share
	Grains   []cellar.Share
	Code     string // lot code suggested
}

// measuredSD is the spread of a strength that was measured with a hydrometer
// under a certificate, % vol.
const measuredSD = 0.1

// Bottling works out a bottling from a vessel.
func (v *View) Bottling(code string, w BottlingWish) (Bottling, error) {
	if v.State.IsEmpty(code) {
		return Bottling{}, &cellar.Problem{Kind: cellar.Refused, Field: "vessel", Value: code, Reason: "it is empty: there is nothing to bottle"}
	}
	out := Bottling{Lot: v.lotOf(code, w), Code: v.SuggestLot()}
	var err error
	if out.Bottled, err = blend.Bottle(out.Lot, w.Sizes, blend.Filler{RoomC: w.RoomC, SDMl: w.SDMl, LinesL: w.LinesL}); err != nil {
		return out, err
	}
	if w.LabelPct != nil {
		if out.Label, err = blend.CheckLabel(out.Lot.StrengthPct, out.Lot.StrengthSD, *w.LabelPct); err != nil {
			return out, err
		}
	}
	for _, run := range out.Runs {
		out.Bottles += run.Count
	}
	account := cellar.VesselAccount(code)
	parts := v.State.ContentsOn(account, v.On).Parts
	out.Batches, out.Grains = largestShares(cellar.BatchShares(parts)), largestShares(v.State.GrainShares(parts))
	if err := out.aged(v.State.AgesOn(account, v.On).Youngest, v.On); err != nil || w.Jurisdiction == "" {
		return out, err
	}
	report, err := identity.Judge(w.Jurisdiction, v.identityFacts(account, w, out.Label.LabelPct))
	if err != nil {
		return out, &cellar.Problem{Kind: cellar.Invalid, Field: "law", Value: w.Jurisdiction, Reason: err.Error()}
	}
	out.Report = &report
	return out, nil
}

// lotOf is what the vessel is taken to hold: as gauged, or else as estimated.
func (v *View) lotOf(code string, w BottlingWish) blend.Lot {
	line := v.StockLine(code)
	lot := blend.Lot{VolumeL: line.VolumeL, StrengthPct: line.StrengthPct, StrengthSD: line.StrengthSD}
	if w.VolumeL != nil {
		lot.VolumeL = *w.VolumeL
	}
	if w.StrengthPct != nil {
		lot.StrengthPct, lot.StrengthSD = *w.StrengthPct, measuredSD
	}
	return lot
}

// aged counts the age from days in wood, so that time in an inert vessel does
// not count.
func (b *Bottling) aged(youngest int, on cellar.Day) error {
	b.Youngest, b.InWood = youngest, youngest > 0
	bottled := on.Time()
	age, err := blend.AgeStatement(bottled.AddDate(0, 0, -youngest), bottled)
	b.Age = age
	return err
}

// SuggestLot is a lot code that is not in use: the day, and a letter.
func (v *View) SuggestLot() string {
	day := v.On.Time().Format("060102")
	for n := 0; ; n++ {
		code := day + "-" + lotLetters(n)
		if _, used := v.FindLot(code); !used {
			return code
		}
	}
}

// lotLetters counts A to Z, then AA, AB and so on.
func lotLetters(n int) string {
	letters := ""
	for ; n >= 0; n = n/26 - 1 {
		letters = string(rune('A'+n%26)) + letters
	}
	return letters
}

// identityFacts is what the book knows of an account's liquid in the words of
// the rules. What it does not know is left open.
func (v *View) identityFacts(a cellar.Account, w BottlingWish, labelPct float64) identity.Facts {
	trace := v.Trace(a)
	facts := identity.Facts{BottlingPct: &labelPct, MadeIn: strings.TrimSpace(w.MadeIn), EntryPct: trace.strongestFill()}
	if w.OnlyWater {
		facts.Additives = &[]string{}
	}
	parts := v.State.ContentsOn(a, v.On).Parts
	grains := v.State.GrainShares(parts)
	if _, gap := grains["unknown"]; !gap {
		facts.Grains = grains
	}
	for _, p := range parts {
		part := identity.Part{Name: p.Batch}
		for _, wood := range p.Wood {
			part.Stays = append(part.Stays, v.stayIn(wood, trace))
		}
		facts.Parts = append(facts.Parts, part)
	}
	return facts
}

// strongestFill is the highest strength at which any of it went into wood.
func (t Trace) strongestFill() *float64 {
	var most *float64
	for _, s := range t.Stays {
		if s.Fill > 0 && (most == nil || s.Fill > *most) {
			most = &s.Fill
		}
	}
	return most
}

// stayIn says what days under the label of a wood were spent in. The book
// counts days by wood and not by vessel; where vessels of several kinds or
// sizes that the liquid lay in share a label, the one that counts for least is
// taken: a jar before a hybrid before a cask, and the largest.
func (v *View) stayIn(wood cellar.WoodTime, trace Trace) identity.Stay {
	stay := identity.Stay{Days: wood.Days}
	for _, s := range trace.Stays {
		vessel := v.State.Vessels[s.Vessel]
		if vessel.WoodLabel() != wood.Wood {
			continue
		}
		stay.Wood = vessel.Wood
		stay.New = newness(vessel.WoodState)
		if kind := identity.Vessel(vessel.Kind); countsFor[kind] < countsFor[stay.Vessel] || stay.Vessel == "" {
			stay.Vessel = kind
		}
		stay.SizeL = max(stay.SizeL, vessel.CapacityL)
	}
	return stay
}

var countsFor = map[identity.Vessel]int{identity.Jar: 1, identity.Hybrid: 2, identity.Cask: 3}

func newness(s cellar.WoodState) identity.Tri {
	switch s {
	case cellar.NewWood:
		return identity.Yes
	case cellar.UsedWood:
		return identity.No
	}
	return identity.Unknown
}

// BottleCount is so many bottles of a size, as they were filled.
type BottleCount struct {
	SizeMl float64
	Count  int
}

// Filled is a bottling as it was done.
type Filled struct {
	ID, Who, Vessel, Lot, Note string
	When                       time.Time
	Bottles                    []BottleCount
	LabelPct, StrengthPct      *float64
	Emptied, Sure              bool
}

// Bottle records a bottling. The bottles are taken to hold their nominal
// volume at 20 °C, which is what the law measures them by.
func (b *Book) Bottle(f Filled) (cellar.Entry, error) {
	r := cellar.Request{
		When: f.When, Entry: "bottle", Vessel: f.Vessel, Lot: f.Lot, LabelPct: f.LabelPct,
		StrengthPct: f.StrengthPct, All: f.Emptied, Note: f.Note,
	}
	for _, c := range f.Bottles {
		if c.Count < 0 {
			return cellar.Entry{}, &cellar.Problem{Kind: cellar.Invalid, Field: "count", Value: fmt.Sprint(c.Count), Reason: "must not be below 0"}
		}
		if c.Count > 0 {
			r.Bottles = append(r.Bottles, cellar.Bottles{SizeL: spirit.Litres(c.SizeMl / 1000), Count: c.Count})
		}
	}
	if len(r.Bottles) == 0 {
		return cellar.Entry{}, &cellar.Problem{Kind: cellar.Invalid, Field: "count", Reason: "no bottle was filled: write how many"}
	}
	return b.Record(Submission{ID: f.ID, Who: f.Who, Request: r, Sure: f.Sure})
}
