package identity

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.org/croze/internal/spirit"
)

func pct(x float64) *float64 { return &x }

func added(names ...string) *[]string { return &names }

// newCask is a stay in new charred oak of 190 L.
func newCask(days int) Stay {
	return Stay{Vessel: Cask, Wood: "oak", New: Yes, Charred: Yes, SizeL: 190, Days: days}
}

func usedCask(days int) Stay {
	return Stay{Vessel: Cask, Wood: "oak", New: No, Charred: Unknown, SizeL: 50, Days: days}
}

func lone(stays ...Stay) []Part { return []Part{{Name: "run 1", Stays: stays}} }

// rye is a spirit that meets all that a straight rye whisky wants.
func rye() Facts {
	return Facts{
		Parts:  lone(newCask(800)),
		Grains: map[string]float64{"rye": 0.6, "malted barley": 0.4}, DistilledPct: pct(72), EntryPct: pct(62), BottlingPct: pct(46),
		Additives: added(),
	}
}

func category(t *testing.T, jurisdiction, name string, facts Facts) CategoryReport {
	t.Helper()
	report, err := Judge(jurisdiction, facts)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range report.Categories {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("%s has no category %q", jurisdiction, name)
	return CategoryReport{}
}

func TestNames(t *testing.T) {
	with := func(change func(*Facts)) Facts {
		facts := rye()
		change(&facts)
		return facts
	}
	canadian := with(func(f *Facts) { f.MadeIn, f.Parts = "CA", lone(usedCask(1096)) })
	bonded := with(func(f *Facts) {
		f.Parts, f.BottlingPct = lone(newCask(1461)), pct(50)
		f.Said = map[string]Tri{"one type and the same materials": Yes, "distilled in one season": Yes, "one distiller at one distillery": Yes}
	})
	apple := Facts{Grains: map[string]float64{"apple": 1}, DistilledPct: pct(70), BottlingPct: pct(42), Parts: lone(usedCask(800)), MadeIn: "AU"}
	for _, c := range []struct {
		what, jurisdiction, name string
		facts                    Facts
		want                     State
	}{
		{"as it should be", "US", "straight rye whisky", rye(), Met},
		{"less than 51 % corn", "US", "bourbon whisky", rye(), Broken},
		{"51 % to the dot", "US", "rye whisky", with(func(f *Facts) { f.Grains = map[string]float64{"rye": 0.51, "oats": 0.49} }), Met},
		{"just less", "US", "rye whisky", with(func(f *Facts) { f.Grains = map[string]float64{"rye": 0.5099, "oats": 0.4901} }), Broken},
		{"distilled too strong", "US", "rye whisky", with(func(f *Facts) { f.DistilledPct = pct(80.1) }), Broken},
		{"distilled at the limit", "US", "rye whisky", with(func(f *Facts) { f.DistilledPct = pct(80) }), Met},
		{"95 is not below 95", "US", "whisky", with(func(f *Facts) { f.DistilledPct = pct(95) }), Broken},
		{"filled too strong", "US", "rye whisky", with(func(f *Facts) { f.EntryPct = pct(63) }), Broken},
		{"entry not known", "US", "rye whisky", with(func(f *Facts) { f.EntryPct = nil }), Open},
		{"used cask", "US", "rye whisky", with(func(f *Facts) { f.Parts = lone(usedCask(800)) }), Broken},
		{"used cask is oak all the same", "US", "whisky", with(func(f *Facts) { f.Parts = lone(usedCask(800)) }), Met},
		{"char not known", "US", "rye whisky", with(func(f *Facts) { f.Parts[0].Stays[0].Charred = Unknown }), Open},
		{"finished in a used cask", "US", "rye whisky", with(func(f *Facts) { f.Parts = lone(newCask(800), usedCask(90)) }), Open},
		{"waited in a tank", "US", "rye whisky", with(func(f *Facts) { f.Parts = lone(newCask(800), Stay{Vessel: Tank, Days: 60}) }), Met},
		{"a day or more short", "US", "straight rye whisky", with(func(f *Facts) { f.Parts = lone(newCask(729)) }), Broken},
		{"to the day", "US", "straight rye whisky", with(func(f *Facts) { f.Parts = lone(newCask(730)) }), Open},
		{"two years and a leap day", "US", "straight rye whisky", with(func(f *Facts) { f.Parts = lone(newCask(731)) }), Met},
		{"youngest part decides", "US", "straight rye whisky", with(func(f *Facts) { f.Parts = append(f.Parts, lone(newCask(300))...) }), Broken},
		{"tank time is no age", "US", "straight rye whisky", with(func(f *Facts) { f.Parts = lone(newCask(600), Stay{Vessel: Tank, Days: 600}) }), Broken},
		{"staves in a jar", "US", "whisky", with(func(f *Facts) { f.Parts = lone(Stay{Vessel: Jar, Wood: "oak", New: Yes, Days: 900}) }), Broken},
		{"steel with a wooden head", "US", "whisky", with(func(f *Facts) { f.Parts = lone(Stay{Vessel: Hybrid, Wood: "oak", Days: 900}) }), Open},
		{"corn in used oak", "US", "corn whisky", with(func(f *Facts) { f.Grains, f.Parts = map[string]float64{"corn": 1}, lone(usedCask(10)) }), Met},
		{"corn in tanks only", "US", "corn whisky", with(func(f *Facts) { f.Grains, f.Parts = map[string]float64{"corn": 1}, lone(Stay{Vessel: Tank, Days: 9}) }), Met},
		{"corn in charred new oak", "US", "corn whisky", with(func(f *Facts) { f.Grains = map[string]float64{"corn": 1} }), Broken},
		{"as it should be", "US", "bottled in bond", bonded, Met},
		{"nobody was asked", "US", "bottled in bond", with(func(f *Facts) { f.Parts, f.BottlingPct = lone(newCask(1461)), pct(50) }), Open},
		{"46 is not 50", "US", "bottled in bond", with(func(f *Facts) { f.Parts = lone(newCask(1461)) }), Broken},
		{"with caramel", "US", "bottled in bond", with(func(f *Facts) { *f = bonded; f.Additives = added("caramel") }), Broken},
		{"apples", "US", "apple brandy", apple, Met},
		{"apples and sugar", "US", "apple brandy", Facts{Grains: map[string]float64{"apple": 0.9, "sugar": 0.1}, DistilledPct: pct(70), BottlingPct: pct(42)}, Broken},
		{"apples are no grain", "US", "whisky", apple, Broken},
		{"apples", "EU", "apple spirit", apple, Met},
		{"as it should be", "EU", "whisky", with(func(f *Facts) { f.Parts = lone(usedCask(1096)) }), Met},
		{"two years", "EU", "whisky", rye(), Broken},
		{"cask too large", "EU", "whisky", with(func(f *Facts) { s := usedCask(1200); s.SizeL = 701; f.Parts = lone(s) }), Broken},
		{"size not known", "EU", "whisky", with(func(f *Facts) { s := usedCask(1200); s.SizeL = 0; f.Parts = lone(s) }), Open},
		{"caramel is allowed", "EU", "whisky", with(func(f *Facts) { f.Parts, f.Additives = lone(usedCask(1096)), added("Caramel") }), Met},
		{"flavouring is not", "EU", "whisky", with(func(f *Facts) { f.Parts, f.Additives = lone(usedCask(1096)), added("flavouring") }), Broken},
		{"below 40 %", "EU", "whisky", with(func(f *Facts) { f.Parts, f.BottlingPct = lone(usedCask(1096)), pct(39.9) }), Broken},
		{"made elsewhere", "UK", "Scotch whisky", with(func(f *Facts) { f.MadeIn = "AU" }), Broken},
		{"warehouse not known", "UK", "Scotch whisky", with(func(f *Facts) { f.MadeIn, f.Parts = "Scotland", lone(usedCask(1100)) }), Open},
		{"chestnut", "UK", "Scotch whisky", with(func(f *Facts) { s := usedCask(1100); s.Wood = "chestnut"; f.MadeIn, f.Parts = "Scotland", lone(s) }), Broken},
		{"as it should be", "CA", "Canadian whisky", canadian, Met},
		{"apples", "AU", "brandy", apple, Met},
		{"rye is no fruit", "AU", "brandy", with(func(f *Facts) { f.MadeIn, f.Parts = "AU", lone(usedCask(800)) }), Broken},
		{"rye is no cane", "AU", "rum", with(func(f *Facts) { f.MadeIn, f.Parts = "AU", lone(usedCask(800)) }), Broken},
		{"apples are no whisky", "CA", "whisky", with(func(f *Facts) { *f = apple; f.Parts = lone(usedCask(1200)) }), Broken},
		{"malt by another name", "EU", "whisky", with(func(f *Facts) {
			f.Parts, f.Grains = lone(usedCask(1096)), map[string]float64{"rye": 0.8, "barley malt": 0.2}
		}), Met},
		{"place not known", "AU", "whisky", rye(), Open},
		{"nothing is known", "EU", "whisky", Facts{}, Open},
		{"a grain nobody knows", "EU", "whisky", with(func(f *Facts) { f.Parts, f.Grains = lone(usedCask(1096)), map[string]float64{"teff": 1} }), Open},
	} {
		if got := category(t, c.jurisdiction, c.name, c.facts); got.State != c.want {
			t.Errorf("%s, %s, %s: %s, want %s: %+v", c.jurisdiction, c.name, c.what, got.State, c.want, got.Findings)
		}
	}
}

func TestAges(t *testing.T) {
	for _, c := range []struct {
		what, jurisdiction string
		facts              Facts
		state              State
		years              int
		must               bool
	}{
		{"four years", "US", Facts{Parts: lone(newCask(1461))}, Met, 4, false},
		{"a day short of sure", "US", Facts{Parts: lone(newCask(1460))}, Met, 3, true},
		{"youngest decides", "US", Facts{Parts: append(lone(newCask(3000)), lone(newCask(400))...)}, Met, 1, true},
		{"jar", "EU", Facts{Parts: lone(Stay{Vessel: Jar, Wood: "oak", Days: 2000})}, Broken, 0, false},
		{"wooden head", "EU", Facts{Parts: lone(Stay{Vessel: Hybrid, Wood: "oak", Days: 2000})}, Open, 0, false},
		{"not known", "EU", Facts{}, Open, 0, false},
		{"no rule", "NZ", rye(), Open, 0, false},
		// Worked example of the Canadian authority (testdata/published/law_age_type.csv):
		// 3.5 years of small wood and 8 months of glass may be claimed as 4 years.
		{"worked example", "CA", Facts{Parts: lone(usedCask(1278), Stay{Vessel: Jar, Days: 243})}, Met, 4, false},
		{"glass counts only after three years", "CA", Facts{Parts: lone(usedCask(1000), Stay{Vessel: Jar, Days: 243})}, Met, 2, false},
	} {
		report, err := Judge(c.jurisdiction, c.facts)
		if err != nil {
			t.Fatal(err)
		}
		if got := report.Age; got.State != c.state || got.Years != c.years || got.Must != c.must || got.Text == "" {
			t.Errorf("%s, %s: %+v", c.jurisdiction, c.what, got)
		}
	}
}

// TestOneYearIsNoYears: what the report says of ages is said as people do.
func TestOneYearIsNoYears(t *testing.T) {
	for years, want := range map[float64]string{1: "1 year", 2: "2 years", 1.5: "1.5 years", 0: "0 years", 0.5: "0.5 years"} {
		if got := spell(years); got != want {
			t.Errorf("%g: %q, want %q", years, got, want)
		}
	}
	report, err := Judge("US", Facts{Parts: lone(newCask(400))})
	if err != nil || !strings.Contains(report.Age.Text, "up to 1 year may") {
		t.Errorf("%+v, %v", report.Age, err)
	}
}

// The same rule of the Canadian example without glass gives three years.
func TestGlassAloneMakesNoFourthYear(t *testing.T) {
	report, err := Judge("CA", Facts{Parts: lone(usedCask(1278))})
	if err != nil || report.Age.Years != 3 {
		t.Errorf("%+v, %v", report.Age, err)
	}
}

func TestEveryReportSendsToTheAuthority(t *testing.T) {
	for _, j := range Jurisdictions() {
		report, err := Judge(j.Code, rye())
		if err != nil || !strings.Contains(report.Closing, "check with your authority") || report.Jurisdiction != j.Name {
			t.Errorf("%s: %q, %v", j.Code, report.Closing, err)
		}
		for _, c := range report.Categories {
			for _, f := range c.Findings {
				if f.Why == "" {
					t.Errorf("%s, %s: %q gives no reason", j.Code, c.Name, f.Condition.Text)
				}
			}
		}
	}
}

func TestJudgeRefuses(t *testing.T) {
	for name, facts := range map[string]Facts{
		"strength over 100": {DistilledPct: pct(101)},
		"strength below 0":  {EntryPct: pct(-1)},
		"not a number":      {BottlingPct: pct(math.NaN())},
		"share over 1":      {Grains: map[string]float64{"rye": 1.1}},
		"share below 0":     {Grains: map[string]float64{"rye": -0.1}},
		"days below 0":      {Parts: lone(newCask(-1))},
		"size below 0":      {Parts: lone(Stay{SizeL: -1})},
	} {
		if _, err := Judge("US", facts); err == nil {
			t.Errorf("%s is taken without complaint", name)
		}
	}
	if _, err := Judge("XX", rye()); err == nil {
		t.Error("an unknown jurisdiction is taken")
	}
}

// Knowing less never turns a condition that is met into a broken one, or the
// other way round: it can only become unknown.
func TestForgettingOnlyMakesUnknown(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := drawFacts(t)
		less := forget(t, facts)
		j := rapid.SampledFrom(Jurisdictions()).Draw(t, "jurisdiction")
		full, err := Judge(j.Code, facts)
		if err != nil {
			t.Fatal(err)
		}
		part, err := Judge(j.Code, less)
		if err != nil {
			t.Fatal(err)
		}
		for i, c := range full.Categories {
			for n, f := range c.Findings {
				if got := part.Categories[i].Findings[n]; got.State != f.State && got.State != Open {
					t.Fatalf("%s, %s, %q: %s (%s) becomes %s (%s) by forgetting", j.Code, c.Name, f.Condition.Text, f.State, f.Why, got.State, got.Why)
				}
			}
		}
		if part.Age.Years > full.Age.Years {
			t.Fatalf("%s: an age of %d years becomes %d by forgetting", j.Code, full.Age.Years, part.Age.Years)
		}
	})
}

func drawFacts(t *rapid.T) Facts {
	strength := rapid.Float64Range(35, 96)
	var parts []Part
	for range rapid.IntRange(1, 3).Draw(t, "parts") {
		parts = append(parts, Part{Stays: rapid.SliceOfN(rapid.Custom(drawStay), 1, 3).Draw(t, "stays")})
	}
	return Facts{
		Parts:        parts,
		Grains:       map[string]float64{rapid.SampledFrom([]string{"rye", "corn", "apple"}).Draw(t, "grain"): 0.7, "malted barley": 0.3},
		DistilledPct: pct(strength.Draw(t, "distilled")), EntryPct: pct(strength.Draw(t, "entry")), BottlingPct: pct(strength.Draw(t, "bottling")),
		Additives: added(rapid.SliceOfN(rapid.SampledFrom([]string{"water", "caramel", "wine"}), 0, 2).Draw(t, "additives")...),
		MadeIn:    rapid.SampledFrom([]string{"CA", "AU", "Scotland"}).Draw(t, "made in"),
		Said:      map[string]Tri{"distilled in one season": rapid.SampledFrom([]Tri{Yes, No}).Draw(t, "season")},
	}
}

func drawStay(t *rapid.T) Stay {
	answer := rapid.SampledFrom([]Tri{Yes, No})
	stay := Stay{
		Vessel: rapid.SampledFrom([]Vessel{Cask, Hybrid, Jar, Tank}).Draw(t, "vessel"),
		Wood:   rapid.SampledFrom([]string{"oak", "chestnut"}).Draw(t, "wood"), New: answer.Draw(t, "new"), Charred: answer.Draw(t, "charred"),
		SizeL: spirit.Litres(rapid.SampledFrom([]float64{30, 700, 701}).Draw(t, "size")), Days: rapid.IntRange(0, 2000).Draw(t, "days"),
	}
	return stay
}

// forget leaves out some of what is known, and leaves facts itself alone.
func forget(t *rapid.T, facts Facts) Facts {
	forgets := func(what string) bool { return rapid.Bool().Draw(t, "forget "+what) }
	if forgets("distilled") {
		facts.DistilledPct = nil
	}
	if forgets("grains") {
		facts.Grains = nil
	}
	if forgets("additives") {
		facts.Additives = nil
	}
	if forgets("place") {
		facts.MadeIn = ""
	}
	facts.Said = maps.Clone(facts.Said)
	if forgets("answers") {
		clear(facts.Said)
	}
	facts.Parts = slices.Clone(facts.Parts)
	for i, part := range facts.Parts {
		stays := slices.Clone(part.Stays)
		for n := range stays {
			stays[n] = forgetStay(stays[n], forgets)
		}
		facts.Parts[i].Stays = stays
	}
	if forgets("parts") {
		facts.Parts = nil
	}
	return facts
}

func forgetStay(stay Stay, forgets func(string) bool) Stay {
	if forgets("vessel") {
		stay.Vessel = ""
	}
	if forgets("wood") {
		stay.Wood = ""
	}
	if forgets("new") {
		stay.New = Unknown
	}
	if forgets("charred") {
		stay.Charred = Unknown
	}
	if forgets("size") {
		stay.SizeL = 0
	}
	return stay
}
