package cellar

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"example.org/croze/internal/gauge"
	"example.org/croze/internal/spirit"
)

// refusesRequest wants a request refused with all the words.
func (s *story) refusesRequest(r Request, words ...string) {
	s.t.Helper()
	f, _, err := s.resolve(r)
	if err == nil {
		s.t.Errorf("%+v became %+v", r, f)
		return
	}
	wantProblem(s.t, err, words...)
}

func TestResolveFill(t *testing.T) {
	s := filledCask(t)
	s.entries[2].Fact.(*VesselFact).TareKg = 40 // B
	f := s.does(Request{Entry: "fill", Vessel: "B", From: "rye 1", VolumeL: ptr(30.0), TempC: ptr(10.0), StrengthPct: ptr(61.0)}).(*Fill)
	want, err := spirit.AmountAt(30, 10, 61)
	if err != nil {
		t.Fatal(err)
	}
	if f.From != BatchAccount("rye 1") || f.Measure.Amount != want || f.Measure.VolumeL != 30 || *f.Measure.TempC != 10 || f.Measure.Basis != Measured || f.Measure.StrengthPct != 61 {
		t.Errorf("the fill is %+v", f)
	}
	s.entries = s.entries[:len(s.entries)-1]

	// By weight: what the balance shows less the tare, in vacuum.
	f = s.does(Request{Entry: "fill", Vessel: "b", From: "batch:rye 1", GrossKg: ptr(90.0), StrengthPct: ptr(60.0)}).(*Fill)
	found, err := gauge.ByWeight(90, 40, 60)
	if err != nil {
		t.Fatal(err)
	}
	if f.Measure.Amount != found.Amount || f.Measure.NetKg != 50 || f.Vessel != "B" {
		t.Errorf("the fill by weight is %+v", f)
	}
	s.entries = s.entries[:len(s.entries)-1]

	// Strength not measured: that of the batch.
	f = s.does(Request{Entry: "fill", Vessel: "B", From: "rye 1", VolumeL: ptr(30.0)}).(*Fill)
	near(t, "strength", float64(f.Measure.StrengthPct), 60, 1e-5)
	if f.Measure.Basis != Carried {
		t.Errorf("the strength is %s", f.Measure.Basis)
	}
	s.entries = s.entries[:len(s.entries)-1]

	for _, c := range []struct {
		r     Request
		words []string
	}{
		{Request{Vessel: "B", From: "rye 1"}, []string{"volume_l", "how much"}},
		{Request{Vessel: "B", From: "rye 1", VolumeL: ptr(1.0), GrossKg: ptr(50.0)}, []string{"gross_kg", "not both"}},
		{Request{Vessel: "T", From: "rye 1", GrossKg: ptr(50.0), StrengthPct: ptr(60.0)}, []string{"gross_kg", "T", "tare_kg"}},
		{Request{Vessel: "B", From: "rye 1", GrossKg: ptr(39.0)}, []string{"gross_kg", "tare"}},
		{Request{Vessel: "B", From: "rye 2", VolumeL: ptr(1.0)}, []string{"from", "rye 2", "name"}},
		{Request{Vessel: "B", From: "batch:rye 2", VolumeL: ptr(1.0)}, []string{"from", "rye 2", "batch"}},
		{Request{Vessel: "B", From: "vessel:rye 1", VolumeL: ptr(1.0)}, []string{"from", "rye 1", "vessel"}},
		{Request{Vessel: "B", VolumeL: ptr(1.0)}, []string{"strength_pct", "how strong"}},
		{Request{Vessel: "B", From: "rye 1", VolumeL: ptr(1.0), StrengthPct: ptr(101.0)}, []string{"strength_pct", "101", "0 to 100", "proof"}},
		{Request{Vessel: "B", From: "rye 1", VolumeL: ptr(1.0), TempC: ptr(68.0)}, []string{"temp_c", "68", "°F"}},
		{Request{Vessel: "B", From: "rye 1", VolumeL: ptr(-1.0)}, []string{"volume_l", "-1", "above 0"}},
		{Request{Vessel: "B", From: "rye 1", VolumeL: ptr(math.NaN())}, []string{"volume_l", "NaN"}},
		{Request{Vessel: "B", From: "rye 1", VolumeL: ptr(1.0), StrengthPct: ptr(60.0), ReadingPct: ptr(61.0), TempC: ptr(15.0)}, []string{"reading_pct", "not both"}},
		{Request{From: "rye 1", VolumeL: ptr(1.0)}, []string{"vessel", "which"}},
		{Request{Vessel: "Q", From: "rye 1", VolumeL: ptr(1.0)}, []string{"vessel", "Q", "registered"}},
		{Request{Vessel: "7K4-M2Y", From: "rye 1", VolumeL: ptr(1.0)}, []string{"vessel", "7K4-M2Y"}},
	} {
		c.r.Entry = "fill"
		s.refusesRequest(c.r, c.words...)
	}
	s.refusesRequest(Request{Entry: "fill", Vessel: "B", From: "rye 1", VolumeL: ptr(1e-9)}, "volume_l", "1e-09", "millilitre")
	s.refuses(&Fill{Pour{Vessel: "B", From: "batch:rye 1"}}, "volume_l", "too little")
	s.refusesRequest(Request{Entry: "pour", Vessel: "B"}, "entry", "pour", "sample")
}

// All of a vessel goes where no volume is said: what is likely to be left of
// the books, and nothing stays behind.
func TestEverythingTransfers(t *testing.T) {
	s := filledCask(t)
	s.on("2023-01-01")
	f := s.does(Request{Entry: "fill", Vessel: "T", From: "A"}).(*Fill)
	if !f.Empties || f.Measure.Basis != Computed {
		t.Errorf("the fill is %+v", f)
	}
	state := s.fold()
	near(t, "volume", float64(state.Balance(VesselAccount("T")).Volume()), 200*(1-0.02*1096.0/365), 0.01)
	if !state.IsEmpty("A") {
		t.Error("A is not empty")
	}
	s.refusesRequest(Request{Entry: "fill", Vessel: "B", From: "A"}, "from", "A", "empty")
	s.does(Request{Entry: "fill", Vessel: "B", From: "T", VolumeL: ptr(20.0), All: true})
	if !s.fold().IsEmpty("T") {
		t.Error("T is not empty though all of it went")
	}
}

// An estimator may think that there is more than the books have; what goes out
// cannot be more, and the entry must not be refused for what nobody typed.
func TestEverythingIsNotMoreThanTheBooks(t *testing.T) {
	s := filledCask(t)
	state := s.fold()
	for _, thought := range []spirit.Amount{
		litres(t, 210, 60), litres(t, 200, 66), litres(t, 190, 60), litres(t, 199, 55),
	} {
		r := Resolver{State: state, Now: s.clock.Add(time.Hour), Estimate: func(string, time.Time) (spirit.Amount, bool) { return thought, true }}
		f, _, err := r.Resolve(Request{When: s.clock.Add(time.Hour), Entry: "fill", Vessel: "T", From: "A"})
		if err != nil {
			t.Fatal(err)
		}
		s.record(f)
		s.fold()
		s.entries = s.entries[:len(s.entries)-1]
	}
}

func TestResolvePourMore(t *testing.T) {
	s := filledCask(t)
	s.refusesRequest(Request{Entry: "top_up", Vessel: "B", From: "rye 1", VolumeL: ptr(1.0)}, "vessel", "B", "empty on 2020-01-01")
	s.refusesRequest(Request{Entry: "top_up", Vessel: "A", VolumeL: ptr(1.0)}, "from")
	s.refusesRequest(Request{Entry: "transfer", Vessel: "A", From: "rye 1", GrossKg: ptr(1.0)}, "gross_kg", "volume_l")
	s.does(Request{Entry: "top_up", Vessel: "A", From: "rye 1", VolumeL: ptr(3.0)})
	s.does(Request{Entry: "fill", Vessel: "B", From: "A", VolumeL: ptr(20.0)})
	s.does(Request{Entry: "transfer", Vessel: "B", From: "vessel:a", VolumeL: ptr(10.0), TempC: ptr(15.0)})
	balance(t, s.fold(), VesselAccount("A"), 203-20-float64Volume(t, 10, 15), 60)
}

// float64Volume is the volume at 20 °C of so many litres of 60 % at a temperature.
func float64Volume(t *testing.T, v spirit.Litres, at spirit.Celsius) spirit.Litres {
	t.Helper()
	a, err := spirit.AmountAt(v, at, 60)
	if err != nil {
		t.Fatal(err)
	}
	return a.Volume()
}

// A name that is a batch's and a vessel's must be told apart.
func TestSourceOfTwoMeanings(t *testing.T) {
	s := filledCask(t)
	s.batch("T", 100, 60)
	s.refusesRequest(Request{Entry: "fill", Vessel: "B", From: "T", VolumeL: ptr(1.0)}, "from", "batch:T", "vessel:T")
	f := s.does(Request{Entry: "fill", Vessel: "B", From: "batch:T", VolumeL: ptr(1.0)}).(*Fill)
	if f.From != BatchAccount("T") {
		t.Errorf("it comes from %s", f.From)
	}
}

func TestResolveSample(t *testing.T) {
	s := filledCask(t)
	s.entries[1].Fact.(*VesselFact).TareKg = 45 // A
	f := s.does(Request{Entry: "sample", Vessel: "A", VolumeL: ptr(195.0), TempC: ptr(12.0), StrengthPct: ptr(59.8), DrawnL: ptr(0.1)}).(*Sample)
	found, err := gauge.ByVolume(195, 12, 59.8)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "content at 20 °C", float64(f.Content.VolumeL), float64(found.Volume), 1e-9)
	if f.Content.Read != 195 || f.Taken.StrengthPct != 59.8 || f.Taken.Reading != nil {
		t.Errorf("the sample is %+v", f)
	}
	f = s.does(Request{Entry: "sample", Vessel: "A", GrossKg: ptr(210.0), StrengthPct: ptr(59.8)}).(*Sample)
	if f.Content.Method != "weight" || f.Content.TareKg != 45 || f.Content.Read != 210 {
		t.Errorf("the content is %+v", f.Content)
	}
	s.refusesRequest(Request{Entry: "sample", Vessel: "A"}, "a sample says something")
	s.refusesRequest(Request{Entry: "sample", Vessel: "A", VolumeL: ptr(206.0)}, "volume_l", "200 L")
	s.refusesRequest(Request{Entry: "sample", Vessel: "A", VolumeL: ptr(100.0), GrossKg: ptr(100.0)}, "not both")
	s.refusesRequest(Request{Entry: "sample", Vessel: "B", StrengthPct: ptr(60.0)}, "B", "empty")
	s.refusesRequest(Request{Entry: "sample", Vessel: "A", Senses: &Senses{Scores: map[string]int{"fruit": 11}}}, "scores", "fruit", "0 to 10")
	s.refusesRequest(Request{Entry: "sample", Vessel: "A", Senses: &Senses{Scores: map[string]int{"": 1}}}, "scores", "name")
	s.refusesRequest(Request{Entry: "sample", Vessel: "A", Senses: &Senses{Nose: strings.Repeat("é", LongestNote+1)}}, "nose", "longer")
}

// A tank has no wood and may have a tare: it is sampled like any other.
func TestSampleOfATank(t *testing.T) {
	s := filledCask(t)
	s.does(Request{Entry: "fill", Vessel: "T", From: "A", VolumeL: ptr(100.0)})
	s.does(Request{Entry: "sample", Vessel: "T", VolumeL: ptr(99.8), StrengthPct: ptr(60.1), DrawnL: ptr(0.05)})
	state := s.fold()
	near(t, "tank", float64(state.Balance(VesselAccount("T")).Volume()), 99.75, 1e-4)
	s.refusesRequest(Request{Entry: "sample", Vessel: "T", GrossKg: ptr(110.0)}, "gross_kg", "tare_kg")
}

func TestResolveTakes(t *testing.T) {
	s := filledCask(t)
	for _, r := range []Request{
		{Entry: "draw", VolumeL: ptr(2.0)}, {Entry: "draw", DrawnL: ptr(2.0)}, {Entry: "spill", VolumeL: ptr(2.0), DrawnL: ptr(2.0)},
		{Entry: "spill", DrawnL: ptr(2.0), StrengthPct: ptr(60.0)},
	} {
		r.Vessel = "A"
		s.does(r)
	}
	state := s.fold()
	balance(t, state, Drawn, 4, 60)
	balance(t, state, Spilled, 4, 60)
	s.refusesRequest(Request{Entry: "draw", Vessel: "A"}, "drawn_l", "how much")
	s.refusesRequest(Request{Entry: "draw", Vessel: "A", VolumeL: ptr(1.0), DrawnL: ptr(2.0)}, "drawn_l", "one of them")
	s.refusesRequest(Request{Entry: "draw", Vessel: "A", GrossKg: ptr(1.0)}, "gross_kg")
	s.refusesRequest(Request{Entry: "spill", Vessel: "B", VolumeL: ptr(1.0)}, "B", "empty")
}

func TestResolveReduceAndBlend(t *testing.T) {
	s := filledCask(t)
	s.does(Request{Entry: "fill", Vessel: "T", From: "A", VolumeL: ptr(100.0)})
	f := s.does(Request{Entry: "reduce", Vessel: "T", WaterKg: ptr(10.0)}).(*Reduce)
	if f.Water != (spirit.Amount{WaterMg: 10_000_000}) {
		t.Errorf("the water is %+v", f.Water)
	}
	f = s.does(Request{Entry: "reduce", Vessel: "T", VolumeL: ptr(10.0), TempC: ptr(10.0)}).(*Reduce)
	near(t, "10 L of water at 10 °C, kg", float64(f.Water.Mass()), 9.997, 0.0005) // 999.7 kg/m³, from memory of any handbook
	s.refusesRequest(Request{Entry: "reduce", Vessel: "T"}, "water_kg", "how much")
	s.refusesRequest(Request{Entry: "reduce", Vessel: "B", WaterKg: ptr(1.0)}, "B", "empty")

	b := s.does(Request{Entry: "blend", Vessel: "B", WaterKg: ptr(5.0), Draws: []RequestDraw{
		{From: "A", VolumeL: ptr(20.0), StrengthPct: ptr(60.2)}, {From: "T"}, {From: "rye 1", VolumeL: ptr(5.0)},
	}}).(*Blend)
	if len(b.Draws) != 3 || b.Draws[0].Measure.StrengthPct != 60.2 || !b.Draws[1].Empties || b.Draws[2].From != BatchAccount("rye 1") {
		t.Errorf("the blend is %+v", b)
	}
	if !s.fold().IsEmpty("T") {
		t.Error("all of T went into the blend and it is not empty")
	}
	s.refusesRequest(Request{Entry: "blend", Vessel: "B"}, "draws", "1 to 200")
	s.refusesRequest(Request{Entry: "blend", Vessel: "B", Draws: make([]RequestDraw, MostDraws+1)}, "draws", "201")
	s.refusesRequest(Request{Entry: "blend", Vessel: "B", Draws: []RequestDraw{{From: "A", VolumeL: ptr(1.0)}, {From: "A", VolumeL: ptr(-1.0)}}}, "draws[1]", "volume_l", "-1")
	s.refusesRequest(Request{Entry: "blend", Vessel: "B", Draws: []RequestDraw{{VolumeL: ptr(1.0)}}}, "draws[0]", "from")
	s.refusesRequest(Request{Entry: "blend", Vessel: "B", Draws: []RequestDraw{{From: "T"}}}, "T", "empty")
}

func TestResolveBottle(t *testing.T) {
	s := filledCask(t)
	f := s.does(Request{Entry: "bottle", Vessel: "A", Lot: "L1", Bottles: []Bottles{{0.7, 100}, {0.2, 50}}, All: false}).(*Bottle)
	near(t, "volume", float64(f.Measure.VolumeL), 80, 1e-9)
	near(t, "label", float64(f.LabelPct), 60, 1e-5)
	f = s.does(Request{Entry: "bottle", Vessel: "A", Lot: "L2", Bottles: []Bottles{{0.5, 2}}, LabelPct: ptr(59.9), All: true}).(*Bottle)
	if f.LabelPct != 59.9 || !f.Empties {
		t.Errorf("the bottling is %+v", f)
	}
	s = filledCask(t)
	one := []Bottles{{0.5, 2}}
	s.refusesRequest(Request{Entry: "bottle", Vessel: "A", Bottles: one}, "lot")
	s.refusesRequest(Request{Entry: "bottle", Vessel: "A", Lot: "L1"}, "bottles", "1 to 20")
	s.refusesRequest(Request{Entry: "bottle", Vessel: "A", Lot: "L1", Bottles: []Bottles{{0, 2}}}, "bottles")
	s.refusesRequest(Request{Entry: "bottle", Vessel: "A", Lot: "L1", Bottles: []Bottles{{spirit.Litres(math.NaN()), 2}}}, "bottles")
	s.refusesRequest(Request{Entry: "bottle", Vessel: "A", Lot: "L1", Bottles: []Bottles{{0.5, -2}}}, "bottles")
	s.refusesRequest(Request{Entry: "bottle", Vessel: "A", Lot: "L1", Bottles: one, LabelPct: ptr(101.0)}, "label_pct")
	s.refusesRequest(Request{Entry: "bottle", Vessel: "B", Lot: "L1", Bottles: one}, "B", "empty")
}

func TestResolveEmptyMoveNoteAndVoid(t *testing.T) {
	s := filledCask(t)
	s.does(Request{Entry: "note", Vessel: "A", Note: "weeps\nat the head"})
	s.does(Request{Entry: "note", From: "rye 1", Note: "slow"})
	s.does(Request{Entry: "move", Vessel: "A", Place: "loft"})
	s.refusesRequest(Request{Entry: "note", Vessel: "A"}, "note")
	s.refusesRequest(Request{Entry: "note", Note: "x"}, "vessel")
	s.refusesRequest(Request{Entry: "note", Vessel: "A", Note: strings.Repeat("é", LongestNote+1)}, "note", "2000")
	s.refusesRequest(Request{Entry: "note", Vessel: "A", Note: "\xff"}, "note", "UTF-8")
	s.refusesRequest(Request{Entry: "move", Vessel: "A", Place: "barn"}, "place", "barn")
	s.refusesRequest(Request{Entry: "move", Place: "loft"}, "vessel")
	s.refusesRequest(Request{Entry: "void"}, "void")
	s.refusesRequest(Request{Entry: "empty", Vessel: "B"}, "B", "empty")
	if f := s.does(Request{Entry: "empty", Vessel: "A"}).(*Empty); f.Measure != nil {
		t.Errorf("the empty entry is %+v", f)
	}
	last := s.entries[len(s.entries)-1].ID
	if f := s.does(Request{Entry: "void", Void: last, Note: "not yet"}).(*Void); f.Entry != last || f.Reason != "not yet" {
		t.Errorf("the void is %+v", f)
	}
	f := s.does(Request{Entry: "empty", Vessel: "A", VolumeL: ptr(199.0), StrengthPct: ptr(60.0)}).(*Empty)
	if f.Measure.Amount != litres(t, 199, 60) {
		t.Errorf("the empty entry is %+v", f)
	}
}

// A phone's clock may run ahead a little; more is a slip of the date.
func TestWhenIsChecked(t *testing.T) {
	s := filledCask(t)
	state := s.fold()
	now := time.Date(2024, 5, 5, 12, 0, 0, 0, time.UTC)
	for when, word := range map[time.Time]string{
		{}: "when it happened",
		time.Date(1899, 12, 31, 0, 0, 0, 0, time.UTC): "1900",
		now.Add(11 * time.Minute):                     "future",
		now.Add(9 * time.Minute):                      "",
		now.In(time.FixedZone("", 14*3600)):           "", // tomorrow there
	} {
		_, _, err := Resolver{State: state, Now: now}.Resolve(Request{When: when, Entry: "note", Vessel: "A", Note: "sound"})
		if word == "" && err != nil {
			t.Errorf("%s: %v", when, err)
		} else if word != "" {
			wantProblem(t, err, "when", word)
		}
	}
}

// What is quoted of a name that is too long is still text.
func TestLongNamesAreQuotedWhole(t *testing.T) {
	for _, err := range []error{
		CheckName("wood", strings.Repeat("é", LongestName+1)), CheckName("wood", "x"+strings.Repeat("é", LongestName+1)),
		CheckNote("note", strings.Repeat("ß", LongestNote+1)), CheckNote("note", "x"+strings.Repeat("ß", LongestNote+1)),
		CheckName("wood", strings.Repeat("\xff", LongestName+1)),
	} {
		wantProblem(t, err)
		var p *Problem
		if errors.As(err, &p) && strings.ContainsRune(p.Value, utf8.RuneError) && !strings.HasPrefix(p.Value, "\uFFFD\uFFFD") {
			t.Errorf("%q is cut within a character", p.Value)
		}
	}
	if err := CheckName("wood", strings.Repeat("é", LongestName)); err != nil {
		t.Error(err)
	}
	wantProblem(t, CheckName("wood", "oak\n"), "wood", "printed")
	wantProblem(t, CheckName("batch", ".."), "batch", "address")
}

// Left-overs are worked out like the draws of a blend; all of a vessel leaves
// it empty.
func TestCarried(t *testing.T) {
	s := filledCask(t)
	resolver := Resolver{State: s.fold(), Now: s.clock}
	carried, err := resolver.Carried(s.clock, []RequestDraw{{From: "a"}, {From: "rye 1", VolumeL: ptr(5.0), StrengthPct: ptr(30.0)}})
	if err != nil {
		t.Fatal(err)
	}
	want := []Carry{
		{From: VesselAccount("A"), Amount: litres(t, 200, 60), Empties: true},
		{From: BatchAccount("rye 1"), Amount: litres(t, 5, 30)},
	}
	if !slices.Equal(carried, want) {
		t.Errorf("carried is %+v, want %+v", carried, want)
	}
	for _, c := range []struct {
		draw  RequestDraw
		words []string
	}{
		{RequestDraw{From: "B"}, []string{"left-overs 1", "B", "empty"}},
		{RequestDraw{From: "rye 1"}, []string{"left-overs 1", "volume_l", "how much"}},
		{RequestDraw{From: "rye 9", VolumeL: ptr(1.0)}, []string{"left-overs 1", "rye 9"}},
		{RequestDraw{From: "A", VolumeL: ptr(-1.0)}, []string{"left-overs 1", "volume_l"}},
	} {
		_, err := resolver.Carried(s.clock, []RequestDraw{c.draw})
		wantProblem(t, err, c.words...)
	}
}
