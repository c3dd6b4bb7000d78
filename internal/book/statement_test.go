package book_test

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
)

// addsUp holds a statement to its promise: in every section the lines add up to
// the closing, to the milligram, and so do the printed decimals.
func addsUp(t tester, s *book.Statement) {
	t.Helper()
	for _, sections := range [][]book.Section{s.Sections, s.Since} {
		for _, section := range sections {
			sectionAddsUp(t, s.Period, section)
		}
	}
}

func sectionAddsUp(t tester, p book.Period, section book.Section) {
	t.Helper()
	var sum spirit.Amount
	var litres, gallons book.Thousandths
	last := section.Lines[len(section.Lines)-1]
	if section.Lines[0].Key != "opening" || last.Key != "closing" {
		t.Errorf("%s is not between an opening and a closing: %+v", section.Name, section.Lines)
	}
	for _, l := range section.Lines[:len(section.Lines)-1] {
		sum = sum.Add(l.Amount)
		litres += l.PureAlcoholL
		gallons += l.ProofGallons
		isPrintedRight(t, l)
	}
	isPrintedRight(t, last)
	if sum != last.Amount || litres != last.PureAlcoholL || gallons != last.ProofGallons {
		t.Errorf("%s of %s to %s: %+v, %v L and %v gallons add up to %+v, %v and %v", section.Name, p.From, p.To,
			last.Amount, last.PureAlcoholL, last.ProofGallons, sum, litres, gallons)
	}
}

// isPrintedRight wants a printed figure within a thousandth of the exact one.
func isPrintedRight(t tester, l book.Line) {
	t.Helper()
	if off := l.PureAlcoholL.Float() - float64(l.Amount.PureAlcohol()); off < -0.001001 || off > 0.001001 {
		t.Errorf("%s is printed as %v L, it is %.6f", l.Key, l.PureAlcoholL, float64(l.Amount.PureAlcohol()))
	}
	if off := l.ProofGallons.Float() - float64(l.Amount.ProofGallons()); off < -0.001001 || off > 0.001001 {
		t.Errorf("%s is printed as %v gallons, it is %.6f", l.Key, l.ProofGallons, float64(l.Amount.ProofGallons()))
	}
}

func section(s *book.Statement, name string) book.Section {
	for _, section := range s.Sections {
		if section.Name == name {
			return section
		}
	}
	return book.Section{}
}

// yearOfACask is the worked example of docs/statements.md: a batch of 100 L at
// 60 %, most of it in a new 50 L cask and a tank.
func yearOfACask(t tester) *house {
	h := newHouse(t)
	h.vessel("OAK-1", cellar.Cask, 50)
	h.vessel("TUN-1", cellar.Tank, 100)
	h.clock.on("2021-02-01")
	h.batch("rye 1", "2020-01-10", 100, 60)
	h.does("2020-01-11", cellar.Request{Entry: "fill", Vessel: "OAK-1", From: "rye 1", VolumeL: ptr(48.0), StrengthPct: ptr(60.0)})
	h.does("2020-01-11", cellar.Request{Entry: "fill", Vessel: "TUN-1", From: "rye 1", VolumeL: ptr(50.0), StrengthPct: ptr(60.0)})
	h.does("2020-06-30", cellar.Request{Entry: "sample", Vessel: "OAK-1", VolumeL: ptr(46.0), StrengthPct: ptr(59.8), DrawnL: ptr(0.1)})
	h.does("2020-09-01", cellar.Request{Entry: "draw", Vessel: "TUN-1", VolumeL: ptr(5.0), StrengthPct: ptr(60.0)})
	h.does("2020-10-01", cellar.Request{Entry: "reduce", Vessel: "TUN-1", WaterKg: ptr(10.0)})
	h.does("2021-01-15", cellar.Request{Entry: "transfer", Vessel: "TUN-1", From: "vessel:OAK-1", VolumeL: ptr(45.0), StrengthPct: ptr(59.5), All: true})
	return h
}

func TestAYearByHand(t *testing.T) {
	h := yearOfACask(t)
	s := h.statement(h.period("2020-01-01", "2020-12-31"))
	addsUp(t, s)
	amount := func(volume, strength float64) spirit.Amount {
		a, err := spirit.AmountOf(spirit.Litres(volume), spirit.Strength(strength))
		h.must(err)
		return a
	}
	vessels, store, unfilled, wood := section(s, "vessels"), section(s, "store"), section(s, "unfilled"), section(s, "wood")
	lost := amount(48, 60).Sub(amount(46, 59.8))
	for key, want := range map[string]spirit.Amount{
		"opening": {}, "filled": amount(48, 60).Add(amount(50, 60)), "sampled": amount(0.1, 59.8).Neg(), "drawn": amount(5, 60).Neg(),
		"reduced": {WaterMg: 10_000_000}, "moved_in": {}, "moved_out": {}, "made": {},
	} {
		if got := vessels.Line(key); got != want {
			t.Errorf("vessels, %s: %+v, want %+v", key, got, want)
		}
	}
	if got := vessels.Line("evaporation").Add(vessels.Line("indrink")); got != lost.Neg() {
		t.Errorf("lost is %+v, want %+v", got, lost.Neg())
	}
	if store.Line("made") != amount(100, 60) || !store.Line("filled").IsZero() || unfilled.Line("filled") != vessels.Line("filled").Neg() {
		t.Errorf("store: %+v; unfilled: %+v", store.Lines, unfilled.Lines)
	}
	if got := wood.Line("indrink"); got != vessels.Line("indrink").Neg() || got.IsZero() || wood.Line("closing") != got {
		t.Errorf("in the wood: %+v", wood.Lines)
	}
	one := h.statement(h.period("2021-01-01", "2021-01-31"), "TUN-1")
	if got := section(one, "vessels").Line("moved_in"); got != amount(45, 59.5) {
		t.Errorf("moved in: %v", got)
	}
	if both := section(h.statement(h.period("2021-01-01", "2021-01-31")), "vessels"); !both.Line("moved_in").IsZero() || !both.Line("moved_out").IsZero() {
		t.Errorf("a transfer within the vessels is in or out: %+v", both.Lines)
	}
}

// The page on statements shows this year's table as it is.
func TestTheWorkedExampleIsTrue(t *testing.T) {
	page, err := os.ReadFile("../../docs/statements.md")
	if err != nil {
		t.Fatal(err)
	}
	h := yearOfACask(t)
	vessels := section(h.statement(h.period("2020-01-01", "2020-12-31")), "vessels")
	var table strings.Builder
	for _, l := range vessels.Lines {
		fmt.Fprintf(&table, "| %s | %s | %s | %d | %d |\n", book.LineWords(l.Key), l.PureAlcoholL, l.ProofGallons, l.Amount.EthanolMg, l.Amount.WaterMg)
	}
	if !strings.Contains(string(page), "|---:|\n"+table.String()+"\n") {
		t.Errorf("docs/statements.md does not show\n%s", table.String())
	}
	h.closes(h.period("2020-01-01", "2020-12-31"))
	h.does("2020-11-11", cellar.Request{Entry: "draw", Vessel: "TUN-1", VolumeL: ptr(2.0), StrengthPct: ptr(50.0)})
	january := section(h.statement(h.period("2021-01-01", "2021-01-31")), "vessels")
	if got := january.Lines[0].PureAlcoholL.String() + " " + january.Lines[1].PureAlcoholL.String(); got != "54.448 -1.000" {
		t.Errorf("January opens and adjusts by %s", got)
	}
	if !strings.Contains(string(page), "opens with 54.448 L, adjusts by −1.000 L") {
		t.Error("the page says something else of January")
	}
}

// A rinse brings part of the indrink back, under a name of its own.
func TestARinseInTheStatement(t *testing.T) {
	h := yearOfACask(t)
	h.does("2021-01-20", cellar.Request{Entry: "rinse", Vessel: "OAK-1", VolumeL: ptr(3.0), StrengthPct: ptr(8.0), Into: "TUN-1"})
	s := h.statement(h.period("2021-01-01", "2021-01-31"))
	addsUp(t, s)
	vessels, wood := section(s, "vessels"), section(s, "wood")
	back := vessels.Line("rinsed")
	if got := float64(back.PureAlcohol()); got < 0.2399 || got > 0.2401 {
		t.Errorf("%.4f L came back, want 3 · 8 %%", got)
	}
	if wood.Line("rinsed") != back.Neg() || wood.Line("closing").EthanolMg <= 0 {
		t.Errorf("in the wood: %+v", wood.Lines)
	}
}

func TestStatementsThatCannotBe(t *testing.T) {
	h := yearOfACask(t)
	for _, c := range []struct {
		p       book.Period
		vessels []string
		want    string
	}{
		{book.Period{}, nil, "from which day"},
		{h.period("2020-02-01", "2020-01-01"), nil, "ends before"},
		{h.period("2020-02-01", "2031-01-01"), nil, "2021-02-01"},
		{h.period("2020-02-01", "2020-03-01"), []string{"NONE"}, "NONE"},
	} {
		err := h.See(book.Moment{}, func(v *book.View) error {
			_, err := v.Statement(c.p, c.vessels)
			return err
		})
		if err == nil || !strings.Contains(err.Error(), c.want) || cellar.KindOf(err) == "" {
			t.Errorf("%v %v: %v", c.p, c.vessels, err)
		}
	}
}

// The estimate of what no gauge has posted stands apart from the figures.
func TestTheEstimateIsKeptApart(t *testing.T) {
	h := yearOfACask(t)
	u := h.statement(h.period("2020-01-01", "2020-12-31")).Unposted
	if u.Vessels != 2 || !(u.LowL < u.MeanL && u.MeanL < u.HighL) {
		t.Errorf("%+v", u)
	}
	if !(u.MeanL > 0 && u.MeanL < 1.5) {
		t.Errorf("half a year of a 50 L cask and a tank: %.3f L unposted", u.MeanL)
	}
}

// Every year of the demo adds up, and each begins as the one before ended.
func TestTheDemoAddsUpEveryYear(t *testing.T) {
	h := demoToSee(t)
	var before *book.Statement
	for year := 2020; year <= 2025; year++ {
		s := h.statement(book.Period{From: cellar.Date(year, 1, 1), To: cellar.Date(year, 12, 31)})
		addsUp(t, s)
		if before != nil {
			for i := range s.Sections {
				last := before.Sections[i].Lines[len(before.Sections[i].Lines)-1]
				first := s.Sections[i].Lines[0]
				if first.Amount != last.Amount || first.PureAlcoholL != last.PureAlcoholL || first.ProofGallons != last.ProofGallons {
					t.Errorf("%d opens %s with %v, %d closed it with %v", year, s.Sections[i].Name, first, year-1, last)
				}
			}
		}
		before = s
	}
	if vessels := section(before, "vessels"); vessels.Line("evaporation").EthanolMg >= 0 || vessels.Line("sampled").EthanolMg >= 0 {
		t.Errorf("a year of the demo without evaporation or samples: %+v", vessels.Lines)
	}
}

func TestStatementAsJSON(t *testing.T) {
	h := yearOfACask(t)
	s := h.statement(h.period("2020-01-01", "2020-12-31"))
	text, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	var back book.Statement
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	addsUp(t, &back)
	if !slices.EqualFunc(back.Sections, s.Sections, func(a, b book.Section) bool { return a.Name == b.Name && slices.Equal(a.Lines, b.Lines) }) {
		t.Errorf("read back it is %+v", back.Sections)
	}
}
