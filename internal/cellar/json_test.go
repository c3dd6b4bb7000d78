package cellar

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/spirit"
)

// tried is a fact with its body in the journal.
type tried struct {
	fact Fact
	body string
}

// oneOfEachFact gives, by kind, a fact with every field set and its body in
// the journal. Stores are full of these bodies: the text may grow new fields,
// but what is here must be read for ever.
func oneOfEachFact() map[string]tried {
	cold := spirit.Celsius(12.5)
	amount := spirit.Amount{EthanolMg: 47_000_000, WaterMg: 43_000_000}
	reading := &Reading{
		Value: 121.5, Scale: "proof", TempC: &cold, GlassC: 15.5, Residue: 0.2, Instrument: "H2",
		StrengthPct: 61.25, StrengthSD: 0.1, Correction: "temperature",
	}
	m := Measure{Amount: amount, VolumeL: 100, TempC: &cold, NetKg: 90, StrengthPct: 60, Basis: Measured, Reading: reading}
	pour := Pour{Vessel: "7K4-M2X", From: "batch:rye 1", Measure: m, Empties: true, Note: "slow"}
	const (
		amountText  = `{"ethanol_mg":47000000,"water_mg":43000000}`
		readingText = `{"value":121.5,"scale":"proof","temp_c":12.5,"glass_c":15.5,"residue":0.2,"instrument":"H2","strength_pct":61.25,"strength_sd":0.1,"correction":"temperature"}`
		measureText = `{"amount":` + amountText + `,"volume_l":100,"temp_c":12.5,"net_kg":90,"strength_pct":60,"basis":"measured","reading":` + readingText + `}`
		pourText    = `{"vessel":"7K4-M2X","from":"batch:rye 1","measure":` + measureText + `,"empties":true,"note":"slow"}`
		takeText    = `{"vessel":"A","measure":` + measureText + `,"note":"n"}`
	)
	facts := map[string]tried{
		"place": {&PlaceFact{Place{Name: "loft", TempC: ptr(11.5), HumidityPct: ptr(70.0)}}, `{"place":"loft","temp_c":11.5,"humidity_pct":70}`},
		"vessel": {
			&VesselFact{Vessel{Code: "A", Kind: Hybrid, CapacityL: 30, Wood: "oak", WoodState: NewWood, WoodAreaM2: 0.3, Place: "loft", Spot: Spot{"3", "2"}, TareKg: 9, MakerCode: "m-1", Note: "n"}},
			`{"code":"A","kind":"hybrid","capacity_l":30,"wood":"oak","wood_state":"new","wood_area_m2":0.3,"place":"loft","row":"3","tier":"2","tare_kg":9,"maker_code":"m-1","note":"n"}`,
		},
		"climate": {
			&ClimateFact{Place: "loft", Readings: []ClimateReading{{At: time.Date(2024, 3, 31, 0, 0, 0, 0, time.UTC), TempC: ptr(11.5), HumidityPct: ptr(78.0)}}},
			`{"place":"loft","readings":[{"at":"2024-03-31T00:00:00Z","temp_c":11.5,"humidity_pct":78}]}`,
		},
		"instrument": {
			&InstrumentFact{Instrument{Name: "H2", Kind: HydrometerKind, Scale: "vol", BaseC: 20, From: 18262, Add: -0.1, SD: 0.05, Note: "n"}},
			`{"instrument":"H2","kind":"hydrometer","scale":"vol","glass_c":20,"from":"2020-01-01","add":-0.1,"sd":0.05,"note":"n"}`,
		},
		"batch": {
			&BatchFact{
				Batch:     Batch{Name: "rye 1", MadeOn: 18262, Made: amount, Grains: map[string]float64{"rye": 0.6, "barley": 0.4}, Yeast: "y", Note: "n", VolumeL: 100, StrengthPct: 60},
				CarriedIn: []Carry{{From: "vessel:A", Amount: amount, Empties: true}},
			},
			`{"batch":"rye 1","made_on":"2020-01-01","made":` + amountText + `,"grains":{"barley":0.4,"rye":0.6},"yeast":"y","note":"n","volume_l":100,"strength_pct":60,"carried_in":[{"from":"vessel:A","amount":` + amountText + `,"empties":true}]}`,
		},
		"fill":     {&Fill{pour}, pourText},
		"top_up":   {&TopUp{pour}, pourText},
		"transfer": {&Transfer{pour}, pourText},
		"sample": {
			&Sample{
				Vessel: "A", Reading: reading, Taken: &m, Note: "n",
				Content: &Content{Method: "weight", Read: 100, TareKg: 9, TempC: &cold, VolumeL: 98.5, SDL: 0.5, NetKg: 91},
				Senses:  &Senses{Colour: "straw", Nose: "pear", Palate: "oat", Scores: map[string]int{"fruit": 4}, Taster: "cooper", Photo: strings.Repeat("0a", 32)},
			},
			`{"vessel":"A","reading":` + readingText + `,"content":{"method":"weight","read":100,"tare_kg":9,"temp_c":12.5,"volume_l":98.5,"sd_l":0.5,"net_kg":91},"taken":` + measureText + `,"senses":{"colour":"straw","nose":"pear","palate":"oat","scores":{"fruit":4},"taster":"cooper","photo":"` + strings.Repeat("0a", 32) + `"},"note":"n"}`,
		},
		"draw":   {&Draw{Vessel: "A", Measure: m, Note: "n"}, takeText},
		"spill":  {&Spill{Vessel: "A", Measure: m, Note: "n"}, takeText},
		"reduce": {&Reduce{Vessel: "A", Water: amount, Note: "n"}, `{"vessel":"A","water":` + amountText + `,"note":"n"}`},
		"blend": {
			&Blend{Into: "M", Draws: []BlendDraw{{From: "vessel:A", Measure: m, Empties: true}}, Water: amount, Plan: "P1", Note: "n"},
			`{"into":"M","draws":[{"from":"vessel:A","measure":` + measureText + `,"empties":true}],"water":` + amountText + `,"plan":"P1","note":"n"}`,
		},
		"bottle": {
			&Bottle{Vessel: "A", Lot: "L1", Bottles: []Bottles{{0.7, 100}}, LabelPct: 46, Measure: m, Empties: true, Note: "n"},
			`{"vessel":"A","lot":"L1","bottles":[{"size_l":0.7,"count":100}],"label_pct":46,"measure":` + measureText + `,"empties":true,"note":"n"}`,
		},
		"empty": {&Empty{Vessel: "A", Measure: &m, Note: "n"}, takeText},
		"move":  {&Move{Vessel: "A", Place: "loft", Spot: Spot{"3", "2"}, Note: "n"}, `{"vessel":"A","place":"loft","row":"3","tier":"2","note":"n"}`},
		"note":  {&Note{About: "vessel:A", Note: "n"}, `{"about":"vessel:A","note":"n"}`},
		"void":  {&Void{Entry: "E1", Reason: "r"}, `{"entry":"E1","reason":"r"}`},
		"rinse": {&Rinse{Vessel: "A", Into: "vessel:T", Measure: m, Note: "n"}, `{"vessel":"A","into":"vessel:T","measure":` + measureText + `,"note":"n"}`},
		"close": {
			&Close{
				From: 18262, To: 18292, Vessels: []string{"A"}, Held: map[Account]spirit.Amount{"vessel:A": amount}, Note: "n",
				Sections: []FrozenSection{{Section: "vessels", Lines: []FrozenLine{{Line: "opening", Amount: amount}}}},
			},
			`{"from":"2020-01-01","to":"2020-01-31","vessels":["A"],"sections":[{"section":"vessels","lines":[{"line":"opening","amount":` + amountText + `}]}],"held":{"vessel:A":` + amountText + `},"note":"n"}`,
		},
		"limit":      {&Limit{Of: Cask, PctPerYear: 3.5}, `{"of":"cask","pct_per_year":3.5}`},
		"round":      {&Round{Name: "west row", Stops: []RoundStop{{Vessel: "A", Reason: "due"}}}, `{"name":"west row","stops":[{"vessel":"A","reason":"due"}]}`},
		"round_skip": {&RoundSkip{Round: "E1", Vessel: "A", Reason: "r"}, `{"round":"E1","vessel":"A","reason":"r"}`},
		"rhythm":     {&Rhythm{Of: Jar, Days: 90}, `{"of":"jar","days":90}`},
		"aim": {
			&Aim{Vessel: "A", On: 18262, For: AimBottle, Words: "w", Ready: &Ready{FloorPct: 50, AgeDays: 1096, Contact: 90, MostWood: 400, Scores: []ReadyBand{{"fruit", 3, 6}}, LatestDays: 3000}},
			`{"vessel":"A","on":"2020-01-01","for":"bottle","words":"w","ready":{"floor_pct":50,"age_days":1096,"contact_cm2_l_y":90,"most_contact":400,"scores":[{"of":"fruit","min":3,"max":6}],"latest_age_days":3000}}`,
		},
		"relabel": {&Relabel{About: "vessel:A", Reason: "r"}, `{"about":"vessel:A","reason":"r"}`},

		"plan": {
			&Plan{
				Name: "spring", Wanted: 18262, File: json.RawMessage(`{"kind":"blend"}`),
				Draws: []PlanDraw{{Vessel: "A", VolumeL: 10, StrengthPct: 60}}, WaterKg: 3.5, VolumeL: 13, StrengthPct: 46,
			},
			`{"name":"spring","wanted":"2020-01-01","file":{"kind":"blend"},"draws":[{"vessel":"A","volume_l":10,"strength_pct":60}],"water_kg":3.5,"volume_l":13,"strength_pct":46}`,
		},
		"cost": {&Cost{Vessel: "A", PerL: 14.5}, `{"vessel":"A","per_l":14.5}`},

		"explain": {&Explain{Vessel: "A", From: 18262, To: 18292, Words: "w"}, `{"vessel":"A","from":"2020-01-01","to":"2020-01-31","words":"w"}`},
	}
	maps.Copy(facts, onTheDesk())
	return facts
}

// onTheDesk are those of what the owner keeps beside the books.
func onTheDesk() map[string]tried {
	return map[string]tried{
		"trial": {&Trial{Name: "two woods", Vessels: []string{"A", "B"}, Question: "q"}, `{"name":"two woods","vessels":["A","B"],"question":"q"}`},
		"warm_trial": {
			&WarmTrial{
				Name: "W1", From: "batch:rye 1", VolumeL: 0.5, StrengthPct: 62, Hours: 48, TempC: 45, Wood: "oak", WoodAreaM2: 0.004,
				Colour: "straw", Scores: map[string]int{"fruit": 4}, Note: "n",
			},
			`{"name":"W1","from":"batch:rye 1","volume_l":0.5,"strength_pct":62,"hours":48,"temp_c":45,"wood":"oak","wood_area_m2":0.004,"colour":"straw","scores":{"fruit":4},"note":"n"}`,
		},
		"tasting_words": {&TastingWords{Words: []string{"fruit"}}, `{"words":["fruit"]}`},
		"tasting_plan": {
			&TastingPlan{
				Name: "T1", Question: "q", Test: "triangle", Samples: []Account{"vessel:A", "lot:L1"}, Alpha: 0.05, Able: 0.3, Needed: 40, Expected: true,
				Sittings: []TastingSitting{{Taster: "cooper", Cups: []TastingCup{{Code: 417, Sample: 1, Reference: true}}}},
			},
			`{"name":"T1","question":"q","test":"triangle","samples":["vessel:A","lot:L1"],"alpha":0.05,"able":0.3,"needed":40,"expected":true,"sittings":[{"taster":"cooper","cups":[{"code":417,"sample":1,"reference":true}]}]}`,
		},
		"tasting_answers": {
			&TastingAnswers{Plan: "E1", Answers: []TastingAnswer{{Taster: "cooper", Codes: []int{417}}}},
			`{"plan":"E1","answers":[{"taster":"cooper","codes":[417]}]}`,
		},
		"value": {&Value{Vessel: "A", Of: Cask, PerL: 30}, `{"vessel":"A","of":"cask","per_l":30}`},
	}
}

func TestEveryKindOfFactIsTried(t *testing.T) {
	tried := slices.Sorted(maps.Keys(oneOfEachFact()))
	if known := slices.Sorted(maps.Keys(newFact)); !slices.Equal(tried, known) {
		t.Errorf("tried %v, known %v", tried, known)
	}
	for _, kind := range EntryKinds {
		if newFact[kind] == nil || resolvers[kind] == nil {
			t.Errorf("%s cannot be requested and read back", kind)
		}
	}
	if len(EntryKinds) != len(resolvers) {
		t.Errorf("%d kinds are listed, %d can be resolved", len(EntryKinds), len(resolvers))
	}
}

// Bodies are flat, always the same bytes, and read back the same.
func TestFactsInTheJournal(t *testing.T) {
	for kind, c := range oneOfEachFact() {
		if c.fact.Kind() != kind {
			t.Errorf("the kind of %T is %s", c.fact, c.fact.Kind())
		}
		body, err := json.Marshal(c.fact)
		if err != nil || string(body) != c.body {
			t.Errorf("%s is written (%v)\n%s, want\n%s", kind, err, body, c.body)
		}
		back, err := DecodeFact(kind, []byte(c.body))
		if err != nil || !reflect.DeepEqual(back, c.fact) {
			t.Errorf("%s is read back (%v)\n%+v, want\n%+v", kind, err, back, c.fact)
		}
	}
}

// What this version does not know must not be read as if it were not there.
func TestDecodeFactIsStrict(t *testing.T) {
	for kind, c := range oneOfEachFact() {
		more := strings.Replace(c.body, "{", `{"surprise":1,`, 1)
		_, err := DecodeFact(kind, []byte(more))
		wantProblem(t, err, kind, "surprise")
		for _, bad := range []string{"", "null", "[]", "1", `"x"`, c.body + "{}", c.body + "x", c.body[:len(c.body)-1]} {
			if f, err := DecodeFact(kind, []byte(bad)); err == nil {
				t.Errorf("%s: %q is read as %+v", kind, bad, f)
			}
		}
	}
	_, err := DecodeFact("fill", []byte(strings.Replace(oneOfEachFact()["fill"].body, `"ethanol_mg"`, `"ethanol"`, 1)))
	wantProblem(t, err, "fill", `"ethanol"`)
	_, err = DecodeFact("Fill", []byte("{}"))
	wantProblem(t, err, "kind", "Fill")
}

func TestSubjects(t *testing.T) {
	want := map[string][]Account{
		"place": {"place:loft"}, "climate": {"place:loft"}, "instrument": {"instrument:H2"}, "vessel": {"vessel:A"}, "batch": {"batch:rye 1", "vessel:A"},
		"fill": {"vessel:7K4-M2X", "batch:rye 1"}, "top_up": {"vessel:7K4-M2X", "batch:rye 1"}, "transfer": {"vessel:7K4-M2X", "batch:rye 1"},
		"sample": {"vessel:A"}, "draw": {"vessel:A"}, "spill": {"vessel:A"}, "reduce": {"vessel:A"}, "empty": {"vessel:A"},
		"blend": {"vessel:M", "vessel:A"}, "bottle": {"vessel:A", "lot:L1"}, "move": {"vessel:A", "place:loft"}, "note": {"vessel:A"}, "void": nil,
		"rinse": {"vessel:A", "vessel:T"}, "close": {"vessel:A"}, "limit": nil, "explain": {"vessel:A"},
		"round": nil, "round_skip": {"vessel:A"}, "rhythm": nil, "aim": {"vessel:A"}, "relabel": {"vessel:A"},
		"plan": nil, "cost": {"vessel:A"},
		"trial": nil, "warm_trial": {"batch:rye 1"}, "tasting_words": nil, "tasting_plan": {"vessel:A", "lot:L1"}, "tasting_answers": nil, "value": {"vessel:A"},
	}
	for kind, c := range oneOfEachFact() {
		if got := c.fact.Subjects(); !slices.Equal(got, want[kind]) {
			t.Errorf("a %s is about %v, want %v", kind, got, want[kind])
		}
	}
}

// Bodies from elsewhere (a restored journal) may hold anything that the types
// can: amounts below nothing or beyond every store are refused, not applied.
func TestAmountsOutOfRangeAreRefused(t *testing.T) {
	const far = int64(1) << 62
	for _, bad := range []spirit.Amount{
		{EthanolMg: -1}, {WaterMg: -1}, {EthanolMg: -5_000_000, WaterMg: 9_000_000},
		{EthanolMg: far, WaterMg: far}, {WaterMg: far}, {EthanolMg: 1, WaterMg: LargestMassKg * 1_000_000},
	} {
		m := Measure{Amount: bad}
		s := filledCask(t)
		s.record(&Fill{Pour{Vessel: "T", From: BatchAccount("rye 1"), Measure: measure(t, 10, 60)}})
		s.record(&VesselFact{Vessel{Code: "Z", Kind: Tank, CapacityL: LargestVolumeL}})
		for _, f := range []Fact{
			&Fill{Pour{Vessel: "Z", From: BatchAccount("rye 1"), Measure: m}},
			&TopUp{Pour{Vessel: "T", From: VesselAccount("A"), Measure: m}},
			&Draw{Vessel: "A", Measure: m}, &Spill{Vessel: "A", Measure: m}, &Empty{Vessel: "A", Measure: &m},
			&Sample{Vessel: "A", Taken: &m},
			&Reduce{Vessel: "A", Water: bad},
			&Blend{Into: "Z", Draws: []BlendDraw{{From: VesselAccount("A"), Measure: m}}},
			&Blend{Into: "Z", Draws: []BlendDraw{{From: VesselAccount("A"), Measure: measure(t, 1, 60)}}, Water: bad},
			&Bottle{Vessel: "A", Lot: "L1", Measure: m}, &Rinse{Vessel: "B", Into: Drawn, Measure: m},
			&BatchFact{Batch: Batch{Name: "rye 2", MadeOn: mustDay(t, "2020-01-01"), Made: bad}},
			&BatchFact{Batch: Batch{Name: "rye 2", MadeOn: mustDay(t, "2020-01-01")}, CarriedIn: []Carry{{From: VesselAccount("A"), Amount: bad}}},
		} {
			s.record(f)
			if _, err := Fold(s.entries, s.clock); KindOf(err) == "" {
				t.Errorf("%s of %+v: %v", f.Kind(), bad, err)
			}
			s.entries = s.entries[:len(s.entries)-1]
		}
	}
}

// So are readings and contents that no estimate could make sense of.
func TestImpossibleSamplesAreRefused(t *testing.T) {
	s := filledCask(t)
	for _, q := range []spirit.Strength{-0.1, 100.1, 1e308} {
		s.refuses(&Sample{Vessel: "A", Reading: &Reading{StrengthPct: q}}, "strength_pct", "0 to 100")
	}
	for _, v := range []spirit.Litres{-0.1, 1e308} {
		s.refuses(&Sample{Vessel: "A", Content: &Content{VolumeL: v}}, "volume_l")
	}
}

// So are vessels that nothing can be worked out for.
func TestImpossibleVesselsAreRefused(t *testing.T) {
	for _, v := range []Vessel{
		{Kind: Cask, CapacityL: 10}, {Code: "A", CapacityL: 10}, {Code: "A", Kind: "bucket", CapacityL: 10},
		{Code: "A", Kind: Cask}, {Code: "A", Kind: Cask, CapacityL: -1}, {Code: "A", Kind: Cask, CapacityL: 1e300},
		{Code: "A", Kind: Cask, CapacityL: 10, TareKg: -1},
	} {
		s := newStory(t)
		s.refuses(&VesselFact{v})
	}
	s := newStory(t)
	s.refuses(&PlaceFact{}, "place")
	s.refuses(&BatchFact{}, "batch")
}

func FuzzDecodeFact(f *testing.F) {
	for kind, c := range oneOfEachFact() {
		f.Add(kind, []byte(c.body))
	}
	f.Add("fill", []byte(`{"vessel":"A","from":"batch:rye 1","measure":{"amount":{"ethanol_mg":-5,"water_mg":9223372036854775807}}}`))
	f.Add("sample", []byte(`{"vessel":"A","reading":{"strength_pct":1e308},"content":{"volume_l":-1e308}}`))
	f.Add("batch", []byte(`{"batch":"b","made_on":"2020-01-01","carried_in":[{"from":"batch:b","amount":{"ethanol_mg":7}}]}`))
	f.Fuzz(func(t *testing.T, kind string, body []byte) {
		fact, err := DecodeFact(kind, body)
		if err != nil {
			if KindOf(err) == "" {
				t.Errorf("%v is no Problem", err)
			}
			return
		}
		again, err := json.Marshal(fact)
		if err != nil {
			t.Fatalf("what was read cannot be written: %v", err)
		}
		back, err := DecodeFact(kind, again)
		if err != nil {
			t.Fatalf("what was written cannot be read: %v\n%s", err, again)
		}
		if twice, _ := json.Marshal(back); string(twice) != string(again) {
			t.Fatalf("written again it is\n%s, was\n%s", twice, again)
		}
		takesOrRefuses(t, fact)
	})
}

// takesOrRefuses tries a fact on a small history: it is refused with a Problem,
// or the invariants hold after it.
func takesOrRefuses(t *testing.T, fact Fact) {
	s := filledCask(t)
	before := plain(s.fold())
	state := s.fold()
	err := state.Extend(Entry{Seq: 99, ID: "E99", HappenedAt: s.clock.AddDate(1, 0, 0), Fact: fact})
	if checked := state.Check(); checked != nil {
		t.Fatalf("after %+v (%v): %v", fact, err, checked)
	}
	if err == nil {
		return
	}
	if KindOf(err) == "" {
		t.Errorf("%v is no Problem", err)
	}
	if _, defines := fact.(definition); !defines && !reflect.DeepEqual(plain(state), before) {
		t.Errorf("the refused %+v changed the state", fact)
	}
}
