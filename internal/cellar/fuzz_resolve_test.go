package cellar

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/croze/internal/spirit"
)

var awkwardNumbers = []float64{
	0, math.Copysign(0, -1), 1e-300, 1e-9, 0.05, 1, 10, 19.9, 40, 60, 100, 150, 199.99, 200, 204.01, 1e6, 1e9, 1e300,
	-1, -1e300, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, math.SmallestNonzeroFloat64,
}

func blankOrAwkward(t *rapid.T, field string) *float64 {
	switch rapid.IntRange(0, 5).Draw(t, field+" is") {
	case 0:
		return ptr(rapid.SampledFrom(awkwardNumbers).Draw(t, field))
	case 1:
		return ptr(rapid.Float64Range(0, 120).Draw(t, field))
	}
	return nil
}

func anyRequest(t *rapid.T) Request {
	name := func(field string) string {
		return rapid.SampledFrom([]string{"", "A", "a", "B", "T", "rye 1", "batch:rye 1", "vessel:A", "batch:", "vessel:", "lot:L1", ":", "\x00", "H1", "W1", "7K4-M2X"}).Draw(t, field)
	}
	r := Request{
		Entry:  rapid.SampledFrom(append([]string{"", "pour"}, EntryKinds...)).Draw(t, "entry"),
		Vessel: rapid.SampledFrom([]string{"A", "A", "B", "T", "J", name("vessel")}).Draw(t, "vessel or name"), From: name("from"), Lot: name("lot"), Place: rapid.SampledFrom([]string{"", "loft"}).Draw(t, "place"),
		Scale: rapid.SampledFrom([]string{"", "vol", "proof", "density", "sg", "?"}).Draw(t, "scale"), Instrument: name("instrument"),
		Thermometer: name("thermometer"), Balance: name("balance"), Void: name("void"), Note: rapid.String().Draw(t, "note"),
		All: rapid.Bool().Draw(t, "all"),
		On:  Day(rapid.IntRange(-1<<20, 1<<20).Draw(t, "on")), For: rapid.SampledFrom([]string{"", "look", "bottle", "?"}).Draw(t, "for"), Round: name("round"),
	}
	r.When = time.Unix(rapid.Int64Range(-1<<33, 1<<33).Draw(t, "when"), 0)
	if rapid.Bool().Draw(t, "soon") {
		r.When = time.Date(2021, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	// Every number of a request, those to come as well.
	v := reflect.ValueOf(&r).Elem()
	for i := range v.NumField() {
		if v.Field(i).Type() == reflect.TypeFor[*float64]() {
			v.Field(i).Set(reflect.ValueOf(blankOrAwkward(t, v.Type().Field(i).Name)))
		}
	}
	for range rapid.IntRange(0, 3).Draw(t, "draws") {
		r.Draws = append(r.Draws, RequestDraw{
			From: name("draw from"), VolumeL: blankOrAwkward(t, "draw"), TempC: blankOrAwkward(t, "draw temp"),
			StrengthPct: blankOrAwkward(t, "draw strength"), All: rapid.Bool().Draw(t, "draw all"),
		})
	}
	for range rapid.IntRange(0, 2).Draw(t, "sizes") {
		r.Bottles = append(r.Bottles, Bottles{
			SizeL: spirit.Litres(rapid.SampledFrom(awkwardNumbers).Draw(t, "size")), Count: rapid.SampledFrom([]int{-1, 0, 1, 12, math.MaxInt}).Draw(t, "count"),
		})
	}
	if rapid.Bool().Draw(t, "tasted") {
		r.Senses = &Senses{Nose: rapid.String().Draw(t, "nose"), Scores: map[string]int{rapid.String().Draw(t, "score"): rapid.Int().Draw(t, "points")}}
	}
	return r
}

// storeForRequests has a filled cask, an empty one, a filled tank and a jar.
func storeForRequests(t *testing.T) *story {
	s := filledCask(t)
	s.entries[1].Fact.(*VesselFact).TareKg = 40
	s.vessel("J", Jar, 20)
	s.record(&InstrumentFact{Instrument{Name: "H1", Kind: HydrometerKind, Scale: "vol", BaseC: 20, From: 18262, Add: -0.1, SD: 0.05}})
	s.record(&InstrumentFact{Instrument{Name: "W1", Kind: BalanceKind, From: 18262, Add: 0.5, SD: 0.05}})
	s.record(&Fill{Pour{Vessel: "T", From: BatchAccount("rye 1"), Measure: measure(t, 50, 60)}})
	s.record(&Fill{Pour{Vessel: "J", From: BatchAccount("rye 1"), Measure: measure(t, 15, 60)}})
	return s
}

// Whatever is asked, there is a fact or a Problem; a fact has finite figures
// and no amount below nothing, can be written, and is taken or refused whole.
func TestAnyRequestIsAFactOrAProblem(t *testing.T) {
	s := storeForRequests(t)
	state := s.fold()
	now := time.Date(2022, 1, 1, 0, 0, 0, 0, time.UTC)
	facts := 0
	rapid.Check(t, func(t *rapid.T) {
		r := anyRequest(t)
		fact, questions, err := Resolver{State: state, Now: now}.Resolve(r)
		if err != nil {
			if KindOf(err) == "" || fact != nil {
				t.Fatalf("%v is no Problem, or comes with %+v", err, fact)
			}
			return
		}
		facts++
		soundFact(t, fact)
		for _, q := range questions {
			if q.Field == "" || q.Code == "" || q.Text == "" {
				t.Fatalf("the question is %+v", q)
			}
		}
		if err := state.Test(Entry{Seq: 99, ID: "E99", HappenedAt: now, Fact: fact}); err != nil && KindOf(err) == "" {
			t.Fatalf("%v is no Problem", err)
		}
	})
	if err := state.Check(); err != nil {
		t.Error(err)
	}
	if again := s.fold(); !reflect.DeepEqual(state, again) {
		t.Error("resolving and testing changed the state")
	}
	if facts == 0 {
		t.Error("no request became a fact")
	}
}

type failer interface {
	Helper()
	Fatalf(format string, args ...any)
}

// soundFact wants a fact that can be written down, with no amount below nothing.
func soundFact(t failer, fact Fact) {
	t.Helper()
	body, err := json.Marshal(fact) // refuses what is not finite
	if err != nil {
		t.Fatalf("%+v cannot be written: %v", fact, err)
	}
	if _, err := DecodeFact(fact.Kind(), body); err != nil {
		t.Fatalf("%s cannot be read back: %v", body, err)
	}
	var amounts func(v reflect.Value)
	amounts = func(v reflect.Value) {
		if a, ok := v.Interface().(spirit.Amount); ok {
			if a.IsNegative() {
				t.Fatalf("an amount of %s is %+v", body, a)
			}
			return
		}
		switch v.Kind() {
		case reflect.Pointer:
			if !v.IsNil() {
				amounts(v.Elem())
			}
		case reflect.Struct:
			for i := range v.NumField() {
				amounts(v.Field(i))
			}
		case reflect.Slice:
			for i := range v.Len() {
				amounts(v.Index(i))
			}
		}
	}
	amounts(reflect.ValueOf(fact))
}

func FuzzResolve(f *testing.F) {
	for _, text := range []string{
		`{"entry":"fill","vessel":"B","from":"rye 1","volume_l":20,"reading_pct":61,"temp_c":12}`,
		`{"entry":"sample","vessel":"A","gross_kg":210,"strength_pct":59,"drawn_l":0.1,"senses":{"scores":{"fruit":3}}}`,
		`{"entry":"blend","vessel":"B","water_kg":3,"draws":[{"from":"A","volume_l":3},{"from":"T","all":true}]}`,
		`{"entry":"bottle","vessel":"T","lot":"L1","bottles":[{"size_l":0.5,"count":20}],"label_pct":46}`,
		`{"entry":"reduce","vessel":"T","volume_l":5,"temp_c":8}`, `{"entry":"move","vessel":"a","place":"loft"}`,
		`{"entry":"empty","vessel":"A","gross_kg":200}`, `{"entry":"note","from":"rye 1","note":"x"}`, `{"entry":"void","void":"E000003"}`,
		`{"entry":"sample","vessel":"J","jug_l":0.5,"jug_times":3,"jug_last_l":0.2}`, `{"entry":"sample","vessel":"A","dip_cm":40}`,
	} {
		f.Add([]byte(text))
	}
	now := time.Date(2022, 1, 1, 0, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, text []byte) {
		var r Request
		if json.Unmarshal(text, &r) != nil {
			return
		}
		if r.When.IsZero() {
			r.When = now
		}
		s := storeForRequests(t)
		fact, _, err := Resolver{State: s.fold(), Now: now}.Resolve(r)
		if err != nil {
			if KindOf(err) == "" {
				t.Errorf("%v is no Problem", err)
			}
			return
		}
		soundFact(t, fact)
	})
}
