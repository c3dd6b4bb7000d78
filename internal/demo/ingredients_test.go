package demo

import (
	"math"
	"regexp"
	"testing"
	"time"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// entriesOf lists the entries of a kind, with their indices.
func entriesOf(s *Story, kind string) map[int]Told {
	out := make(map[int]Told)
	for i, e := range s.Entries {
		if e.Request.Entry == kind {
			out[i] = e
		}
	}
	return out
}

func vesselOf(t *testing.T, s *Story, code string) cellar.Vessel {
	t.Helper()
	for _, v := range s.Vessels {
		if v.Code == code {
			return v
		}
	}
	t.Fatalf("no vessel has the code %q", code)
	return cellar.Vessel{}
}

func TestVesselsOfEveryKind(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	kinds, woods, states := map[cellar.VesselKind]int{}, map[string]int{}, map[cellar.WoodState]int{}
	smallest, largest := spirit.Litres(1e9), spirit.Litres(0)
	makers := 0
	for _, v := range s.Vessels {
		checked := v
		if err := cellar.CheckVessel(&checked); err != nil || checked != v {
			t.Errorf("%s is registered as %+v, checked as %+v, %v", v.Code, v, checked, err)
		}
		if _, own, err := cellar.ParseCode(v.Code); !own || err != nil {
			t.Errorf("%s is no code of the book's own form: %v", v.Code, err)
		}
		kinds[v.Kind]++
		if v.Kind == cellar.Cask {
			woods[v.Wood]++
			states[v.WoodState]++
			smallest, largest = min(smallest, v.CapacityL), max(largest, v.CapacityL)
		}
		if v.MakerCode != "" {
			makers++
		}
	}
	for _, kind := range cellar.VesselKinds {
		if kinds[kind] < 3 {
			t.Errorf("%d of kind %s", kinds[kind], kind)
		}
	}
	for _, wood := range []string{"oak", "chestnut", "acacia", "apple wood"} {
		if woods[wood] == 0 {
			t.Errorf("no cask of %s", wood)
		}
	}
	if states[fresh] == 0 || states[used] == 0 || smallest != 5 || largest != 225 || makers < 5 || makers == len(s.Vessels) {
		t.Errorf("casks %v, %g to %g L, %d makers' codes", states, smallest, largest, makers)
	}
}

func TestEmptyVesselsStandReady(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	state := folded(t, s, anyDay())
	empty := map[cellar.VesselKind]int{}
	never := 0
	for _, v := range state.Vessels {
		if state.IsEmpty(v.Code) {
			empty[v.Kind]++
		}
		if len(v.Events) == 0 {
			never++
		}
	}
	if empty[cellar.Cask] == 0 || empty[cellar.Jar] == 0 || empty[cellar.Tank] == 0 || never == 0 {
		t.Errorf("empty %v, never used %d", empty, never)
	}
}

func TestPlacesHaveClimates(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	var damp, dry, unknown bool
	for _, p := range s.Places {
		if err := cellar.CheckPlace(p); err != nil {
			t.Error(err)
		}
		unknown = unknown || p.TempC == nil && p.HumidityPct == nil
		if p.HumidityPct != nil && p.TempC != nil {
			damp = damp || *p.HumidityPct >= 80 && *p.TempC < 13
			dry = dry || *p.HumidityPct <= 60 && *p.TempC > 14
		}
	}
	if len(s.Places) < 4 || !damp || !dry || !unknown {
		t.Errorf("%d places, damp %v, dry %v, unknown %v", len(s.Places), damp, dry, unknown)
	}
}

func TestBatchesHaveMashBillsAndCuts(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	most := map[string]bool{}
	cut := regexp.MustCompile(`(?i)hearts|cut|foreshots`)
	cuts := 0
	for _, b := range s.Batches {
		sum := 0.0
		for _, share := range b.Grains {
			sum += share
		}
		if math.Abs(sum-1) > 1e-9 || b.Yeast == "" || b.Made.IsZero() {
			t.Errorf("%s: shares sum to %g, yeast %q, made %v", b.Name, sum, b.Yeast, b.Made)
		}
		most[b.GrainNames()[0]] = true
		if cut.MatchString(b.Note) {
			cuts++
		}
	}
	if !most["apple"] || !most["rye"] || !most["oat"] || cuts < len(s.Batches)/2 {
		t.Errorf("spirits %v, %d notes about cuts in %d batches", most, cuts, len(s.Batches))
	}
}

// Left-overs go into a later run of the same spirit, all of them, and their
// alcohol is found again among the parts of what was filled from it.
func TestLeftOversAreCarriedIn(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	state := folded(t, s, anyDay())
	carried := 0
	for _, b := range s.Batches {
		for _, c := range b.CarriedIn {
			carried++
			if left := state.Balance(c.From); left.EthanolMg > 3 || left.WaterMg > 3 {
				t.Errorf("%s still holds %d and %d mg after it was carried into %s", c.From, left.EthanolMg, left.WaterMg, b.Name)
			}
			if v := c.Amount.Volume(); v < 1 || v > 20 {
				t.Errorf("%.1f L carried into %s", float64(v), b.Name)
			}
		}
	}
	if carried < 5 {
		t.Errorf("%d left-overs were carried on", carried)
	}
	last := s.Batches[len(s.Batches)-1]
	_, earlier := last.CarriedIn[0].From.Split()
	for _, v := range state.Vessels {
		shares := cellar.BatchShares(state.ContentsOn(cellar.VesselAccount(v.Code), cellar.DayOf(anyDay())).Parts)
		if shares[last.Name] > 0.5 {
			if shares[earlier] <= 0.02 {
				t.Errorf("%s holds %s and %.3f of %s, which went into it", v.Code, last.Name, shares[earlier], earlier)
			}
			return
		}
	}
	t.Errorf("nothing holds %s", last.Name)
}

// slope is the loss in litres a day between two days, by the contents gauged.
func slope(events []cellar.Event, from, to cellar.Day) float64 {
	var n, sx, sy, sxx, sxy float64
	for _, e := range events {
		if day := e.Entry.Day(); e.Content != nil && day >= from && day <= to {
			x, y := float64(day-from), float64(e.Content.VolumeL)
			n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
		}
	}
	return -(n*sxy - sx*sy) / (n*sxx - sx*sx)
}

func TestOneCaskLeaks(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	state := folded(t, s, anyDay())
	since, today := cellar.DayOf(s.LeakSince), cellar.DayOf(anyDay())
	if days := today - since; days < 90 || days > 240 {
		t.Errorf("it has leaked for %d days", days)
	}
	events := state.Vessels[s.Leaking].Events
	before, now := slope(events, since-500, since), slope(events, since, today)
	if !(before > 0 && now > 3*before) {
		t.Errorf("%s lost %.4f L a day and now loses %.4f: not to be seen", s.Leaking, before, now)
	}
	for _, v := range s.Vessels {
		if events := state.Vessels[v.Code].Events; v.Code != s.Leaking && v.Kind == cellar.Cask && len(events) > 60 {
			if lost := slope(events, since, today) / float64(v.CapacityL); lost > 0.0006 {
				t.Errorf("%s, which is sound, loses %.5f of its size a day", v.Code, lost)
			}
		}
	}
}

func TestTwins(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	var caskAndJar, twoWoods bool
	for _, pair := range s.Twins {
		a, b := vesselOf(t, s, pair[0]), vesselOf(t, s, pair[1])
		caskAndJar = caskAndJar || a.Kind == cellar.Cask && b.Kind == cellar.Jar
		twoWoods = twoWoods || a.Kind == b.Kind && a.Wood != b.Wood && a.CapacityL == b.CapacityL
		var fills []cellar.Request
		for _, e := range s.Entries {
			if r := e.Request; r.Entry == "fill" && (r.Vessel == a.Code || r.Vessel == b.Code) {
				fills = append(fills, r)
			}
		}
		if len(fills) != 2 || fills[0].From != fills[1].From || *fills[0].VolumeL != *fills[1].VolumeL ||
			cellar.DayOf(fills[0].When) != cellar.DayOf(fills[1].When) {
			t.Errorf("%v were not filled alike: %+v", pair, fills)
		}
		if samplesOf(s, a.Code) < 20 || samplesOf(s, b.Code) < 20 {
			t.Errorf("%v have few samples to compare", pair)
		}
	}
	if !caskAndJar || !twoWoods {
		t.Errorf("twins %v: cask and jar %v, two woods %v", s.Twins, caskAndJar, twoWoods)
	}
}

func samplesOf(s *Story, code string) int {
	n := 0
	for _, e := range s.Entries {
		if e.Request.Entry == "sample" && e.Request.Vessel == code {
			n++
		}
	}
	return n
}

func TestWorkOfTheHouse(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	for kind, least := range map[string]int{
		"fill": 30, "sample": 800, "draw": 8, "top_up": 4, "transfer": 1, "spill": 1, "move": 3,
		"blend": 1, "reduce": 1, "bottle": 1, "empty": 1, "note": 4, "void": 1,
	} {
		if n := len(entriesOf(s, kind)); n < least {
			t.Errorf("%d entries of kind %s, want %d or more", n, kind, least)
		}
	}
	for _, e := range entriesOf(s, "transfer") {
		from, to := vesselOf(t, s, e.Request.From), vesselOf(t, s, e.Request.Vessel)
		if from.Kind != cellar.Cask || to.Kind != cellar.Tank {
			t.Errorf("transfer from a %s to a %s", from.Kind, to.Kind)
		}
	}
	state := folded(t, s, anyDay())
	for _, e := range entriesOf(s, "move") {
		if v := state.Vessels[e.Request.Vessel]; v.PlacedAt != e.Request.Place || v.PlacedAt == v.Place {
			t.Errorf("%s stands in %s, moved from %s to %s", v.Code, v.PlacedAt, v.Place, e.Request.Place)
		}
	}
}

// The blend went from two casks and part of a third through a tank, down to 46,
// and into bottles of both spirits.
func TestOneBlendIsBottled(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	state := folded(t, s, anyDay())
	if len(state.Lots) != 1 {
		t.Fatalf("%d lots", len(state.Lots))
	}
	for _, lot := range state.Lots {
		inBottles := state.ContentsOn(cellar.LotAccount(lot.Name), cellar.DayOf(anyDay()))
		strength, volume := inBottles.Amount.Strength(), inBottles.Amount.Volume()
		if math.Abs(float64(strength)-46) > 0.35 || lot.LabelPct != 46 || volume < 150 || volume > 250 {
			t.Errorf("%.1f L at %.2f %% vol, labelled %.1f", float64(volume), float64(strength), float64(lot.LabelPct))
		}
		grains := state.GrainShares(inBottles.Parts)
		if grains["apple"] < 0.1 || grains["rye"] < 0.3 || lot.Youngest < 730 {
			t.Errorf("grains %v, youngest %d days", grains, lot.Youngest)
		}
		if age := anyDay().Sub(lot.At); age < 365*24*time.Hour {
			t.Errorf("bottled %v ago", age)
		}
		if !state.IsEmpty(lot.Vessel) {
			t.Errorf("%s is not empty after the bottling", lot.Vessel)
		}
	}
}

func TestTheNeedOfNextMonthCanBeMet(t *testing.T) {
	s := tellOn(t, seed, anyDay())
	n := s.Needs
	if days := n.On - cellar.DayOf(anyDay()); days < 20 || days > 45 {
		t.Errorf("wanted in %d days", days)
	}
	wanted := n.VolumeL * n.StrengthPct / 100
	var alcohol, strongest float64
	for _, code := range n.From {
		litres, strength := s.Truth(code)
		alcohol += litres * strength / 100
		strongest = max(strongest, strength)
		noted := false
		for _, e := range entriesOf(s, "note") {
			noted = noted || e.Request.Vessel == code && e.Request.Note == n.Note
		}
		if !noted {
			t.Errorf("no note on %s says that it is wanted", code)
		}
	}
	if len(n.From) < 2 || alcohol < 1.5*wanted || strongest < n.StrengthPct+2 {
		t.Errorf("%d vessels with %.1f L of pure alcohol for %.1f L", len(n.From), alcohol, wanted)
	}
}
