package cellar

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"time"

	"example.org/croze/internal/spirit"
)

// operations makes random requests and registrations of a small store: mostly
// sensible ones, some that must be refused.
type operations struct {
	*rand.Rand
	step  int
	clock time.Time
}

func newOperations(seed uint64) *operations {
	return &operations{
		Rand:  rand.New(rand.NewPCG(seed, 1)),
		clock: time.Date(2015, 1, 1, 8, 0, 0, 0, time.UTC),
	}
}

// when gives an instant that no other has: mostly a little later than the last
// one, now and then long ago, in some zone.
func (o *operations) when() time.Time {
	o.step++
	at := o.clock.Add(time.Duration(o.IntN(20*24)) * time.Hour)
	o.clock = at
	if o.IntN(5) == 0 {
		at = at.Add(-time.Duration(o.IntN(300*24)) * time.Hour)
	}
	zone := time.FixedZone("", (o.IntN(25)-12)*3600)
	return at.Add(time.Duration(o.step) * time.Microsecond).In(zone)
}

func pick[T any](o *operations, from []T) T { return from[o.IntN(len(from))] }

func (o *operations) vesselCode() string { return fmt.Sprintf("V%d", o.IntN(8)) }
func (o *operations) batchName() string  { return fmt.Sprintf("run %d", o.IntN(5)) }

func (o *operations) number(low, high float64) *float64 {
	return ptr(low + (high-low)*o.Float64())
}

// maybe leaves a field blank two times in three.
func (o *operations) maybe(low, high float64) *float64 {
	if o.IntN(3) > 0 {
		return nil
	}
	return o.number(low, high)
}

func (o *operations) source(s *State) string {
	if o.IntN(5) > 1 {
		return "batch:" + o.batchName()
	}
	return "vessel:" + o.vesselThat(s, false)
}

// vesselThat is mostly a vessel that is empty, or that is not.
func (o *operations) vesselThat(s *State, empty bool) string {
	code := o.vesselCode()
	for range 12 {
		if s.Vessels[code] != nil && s.IsEmpty(code) == empty {
			break
		}
		code = o.vesselCode()
	}
	return code
}

// registration makes a vessel, place or batch, or corrects one.
func (o *operations) registration(s *State) Fact {
	switch o.IntN(6) {
	case 5:
		if _, known := s.Places["loft"]; !known {
			return nil
		}
		return &ClimateFact{Place: "loft", Readings: []ClimateReading{{At: o.clock, TempC: o.maybe(5, 20), HumidityPct: ptr(70.0)}}}
	case 4:
		return &InstrumentFact{Instrument{Name: pick(o, []string{"H1", "H2"}), Kind: HydrometerKind, Scale: "vol", BaseC: 20, From: DayOf(o.clock), SD: 0.05}}
	case 0:
		return &PlaceFact{Place{Name: pick(o, []string{"loft", "shed"}), TempC: o.maybe(5, 20)}}
	case 1:
		b := Batch{Name: o.batchName(), MadeOn: DayOf(o.clock), VolumeL: spirit.Litres(50 + o.IntN(500)), StrengthPct: spirit.Strength(55 + o.IntN(30))}
		if o.IntN(4) == 0 {
			b.VolumeL = 0
		}
		if o.IntN(4) == 0 {
			b.MadeOn = 0
		}
		if CheckBatch(&b) != nil {
			return nil
		}
		f := &BatchFact{Batch: b}
		if o.IntN(2) == 0 {
			carried, err := Resolver{State: s, Now: o.clock}.Carried(o.clock, []RequestDraw{{From: o.source(s), VolumeL: o.maybe(1, 20)}})
			if err == nil {
				f.CarriedIn = carried
			}
		}
		return f
	}
	code := o.vesselCode()
	v := Vessel{Code: code, Kind: VesselKinds[int(code[1]-'0')%4], CapacityL: spirit.Litres(20 * (1 + int(code[1]-'0'))), Place: "loft", TareKg: 10}
	if v.Kind.Wooden() {
		v.Wood = pick(o, []string{"oak", "oak", "apple"})
	}
	if o.IntN(8) == 0 {
		v.MakerCode = fmt.Sprintf("m%d", o.IntN(4))
	}
	return &VesselFact{v}
}

// aboutPeriods makes, now and then, an entry that moves nothing.
func (o *operations) aboutPeriods(when time.Time, s *State) Fact {
	from := DayOf(when) - Day(o.IntN(200))
	to := from + Day(o.IntN(40))
	switch n := o.IntN(130); n {
	case 0:
		f := &Close{From: from, To: to, Held: map[Account]spirit.Amount{}}
		for range o.IntN(3) {
			f.Vessels = append(f.Vessels, o.vesselCode())
		}
		return f
	case 1:
		return &Limit{Of: pick(o, VesselKinds), PctPerYear: float64(o.IntN(10))}
	case 2:
		return &Explain{Vessel: o.vesselThat(s, false), From: from, To: to, Words: "a weeping stave"}
	case 3:
		return &Round{Name: "west row", Stops: []RoundStop{{Vessel: o.vesselCode(), Reason: "due"}}}
	case 4:
		return &Rhythm{Of: pick(o, VesselKinds), Days: o.IntN(400)}
	case 5:
		return &Aim{Vessel: o.vesselCode(), On: to + 100, Words: "at two years"}
	case 6:
		return &Relabel{About: VesselAccount(o.vesselCode()), Reason: "torn"}
	case 7:
		f := &RoundSkip{Round: "E0", Vessel: o.vesselCode(), Reason: "behind another"}
		if n := len(s.Rounds); n > 0 {
			f.Round = s.Rounds[n-1].Entry.ID
		}
		return f
	case 8:
		return &Plan{Name: "spring", File: json.RawMessage(`{}`), Draws: []PlanDraw{{o.vesselCode(), 5, 60}}, VolumeL: 6, StrengthPct: 50}
	case 9:
		return &Cost{Vessel: o.vesselThat(s, false), PerL: float64(o.IntN(30))}
	default:
		return o.onTheDesk(n-100, s)
	}
}

// onTheDesk makes, now and then, what the owner keeps beside the books.
func (o *operations) onTheDesk(n int, s *State) Fact {
	from := VesselAccount(o.vesselCode())
	switch n {
	case 0:
		return &Trial{Name: "two woods", Vessels: []string{o.vesselCode(), o.vesselCode()}}
	case 1:
		return &WarmTrial{Name: "W", From: from, VolumeL: 0.5, Hours: float64(o.IntN(100)), TempC: 40}
	case 2:
		return &TastingWords{Words: []string{"fruit", "wood"}[:o.IntN(3)]}
	case 3:
		sitting := TastingSitting{Taster: "cooper", Cups: []TastingCup{{Code: 101}, {Code: 202, Sample: 1}}}
		return &TastingPlan{Name: "T", Test: "triangle", Samples: []Account{from, VesselAccount(o.vesselCode())}, Alpha: 0.05, Sittings: []TastingSitting{sitting}}
	case 4:
		return &TastingAnswers{Plan: "E0", Answers: []TastingAnswer{{"cooper", []int{101}}}}
	case 5:
		return &Value{Of: pick(o, VesselKinds), PerL: float64(o.IntN(50))}
	case 6:
		return &Aim{Vessel: o.vesselThat(s, false), For: AimReady, Ready: &Ready{FloorPct: float64(o.IntN(70))}}
	}
	return nil
}

// request makes an entry as a person would write it.
func (o *operations) request(when time.Time, s *State, entries []Entry) Request {
	r := Request{When: when, Entry: pick(o, []string{
		"fill", "fill", "fill", "top_up", "top_up", "top_up", "top_up", "transfer", "transfer", "transfer", "transfer",
		"sample", "sample", "draw", "spill", "reduce", "blend", "blend", "bottle", "empty", "empty", "rinse", "rinse", "rinse", "move", "note", "void",
	})}
	r.Vessel = o.vesselThat(s, r.Entry == "fill" || r.Entry == "rinse" || r.Entry == "blend" && o.IntN(2) == 0)
	switch r.Entry {
	case "fill", "top_up", "transfer":
		r.From, r.VolumeL, r.StrengthPct, r.All = o.source(s), o.number(0.5, 40), o.maybe(45, 70), o.IntN(6) == 0
		if o.IntN(4) == 0 {
			r.VolumeL = nil
		}
		if r.Entry == "fill" && o.IntN(4) == 0 {
			r.From, r.StrengthPct = "", o.number(50, 70)
		}
	case "sample":
		r.StrengthPct, r.VolumeL, r.DrawnL = o.maybe(45, 68), o.maybe(5, 60), o.maybe(0.05, 0.5)
		if o.IntN(3) == 0 {
			r.StrengthPct, r.ReadingPct, r.TempC = nil, o.number(45, 68), o.number(5, 25)
		}
	case "draw", "spill":
		r.VolumeL, r.TempC = o.number(0.1, 15), o.maybe(5, 25)
	case "reduce":
		r.WaterKg = o.number(0.1, 5)
	case "blend":
		r.WaterKg = o.maybe(0.1, 20)
		for range 1 + o.IntN(3) {
			r.Draws = append(r.Draws, RequestDraw{From: o.source(s), VolumeL: o.number(0.5, 20), All: o.IntN(5) == 0})
		}
	case "bottle":
		r.Lot, r.All = fmt.Sprintf("L%d", o.IntN(1000)), o.IntN(3) == 0
		r.Bottles = []Bottles{{0.5, 1 + o.IntN(40)}}
	case "empty":
		r.VolumeL = o.maybe(0.5, 50)
	case "rinse":
		r.VolumeL, r.StrengthPct = o.number(0.05, 1), o.number(2, 40)
		if o.IntN(2) == 0 {
			r.Into = o.vesselCode()
		}
	case "move":
		r.Place = pick(o, []string{"loft", "shed", "attic"})
	case "note":
		r.Note = "weeps"
	case "void":
		r.Vessel = ""
		if len(entries) > 0 {
			r.Void = entries[max(0, len(entries)-1-o.IntN(12))].ID
		}
	}
	return r
}
