package blend

import (
	"encoding/json"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

const goodSource = `{"id":"A","available_l":10,"strength_pct":60}`

// refusals: each text, and what its error must say.
var refusals = []struct{ name, text, want string }{
	{"nothing", ``, "line 1: not valid JSON: it ends before it is whole"},
	{"cut off", `{"kind":"blend",`, "line 1: not valid JSON: it ends before it is whole"},
	{"line of it", "{\n\"kind\":\"blend\",\n}", "line 3: not valid JSON"},
	{"not an object", `[1]`, "a list is not an object"},
	{"more after it", `{"kind":"blend"} 5`, "line 1: not valid JSON: what begins with \"5\" cannot stand there"},
	{"unknown field", `{"kind":"blend","colour":"red","target":{"volume_l":1,"strength_pct":40},"sources":[` + goodSource + `]}`, "colour: is not a field of a plan here"},
	{"unknown source field", plan(`{"id":"A","available_l":1,"strength_pct":40,"abv":3}`), "sources[0].abv: is not a field"},
	{"field twice", `{"kind":"blend","kind":"blend"}`, "kind: is given twice"},
	{"no kind", `{"target":{"volume_l":1,"strength_pct":40},"sources":[` + goodSource + `]}`, `kind: is missing; give "blend" or "reduction"`},
	{"other kind", `{"kind":"soup","target":{"volume_l":1,"strength_pct":40},"sources":[` + goodSource + `]}`, `kind: "soup" is neither`},
	{"no target", `{"kind":"blend","sources":[` + goodSource + `]}`, "target: is missing"},
	{"no volume", `{"kind":"blend","target":{"strength_pct":40},"sources":[` + goodSource + `]}`, "target.volume_l: is missing; give a number of 0.001 to 10000000"},
	{"volume 0", `{"kind":"blend","target":{"volume_l":0,"strength_pct":40},"sources":[` + goodSource + `]}`, "target.volume_l: 0 is outside 0.001 to 10000000"},
	{"no sources", `{"kind":"blend","target":{"volume_l":1,"strength_pct":40}}`, "sources: is missing"},
	{"empty sources", plan(``), "sources: is empty"},
	{"strength 146", plan(goodSource + `,{"id":"B","available_l":1,"strength_pct":146}`), "sources[1].strength_pct: 146 is outside 0 to 100"},
	{"strength below 0", plan(`{"id":"B","available_l":1,"strength_pct":-1}`), "sources[0].strength_pct: -1 is outside 0 to 100"},
	{"not finite", plan(`{"id":"B","available_l":1e999,"strength_pct":50}`), "sources[0].available_l: 1e999 is not finite"},
	{"a text for a number", plan(`{"id":"B","available_l":"18,2","strength_pct":50}`), `sources[0].available_l: "18,2" is not a number`},
	{"null", plan(`{"id":"B","available_l":null,"strength_pct":50}`), "sources[0].available_l: null is not a number"},
	{"available 0", plan(`{"id":"B","available_l":0,"strength_pct":50}`), "sources[0].available_l: 0 is outside 0.001"},
	{"only one of two", plan(`{"id":"B","available_l":3}`), "sources[0].strength_pct: is missing"},
	{"no id", plan(`{"available_l":3,"strength_pct":40}`), "sources[0].id: is missing"},
	{"empty id", plan(`""`), `sources[0]: "" is empty`},
	{"id twice", plan(goodSource + `,` + goodSource), `sources[1].id: "A" is also the id of sources[0]`},
	{"a number for a source", plan(`7`), "sources[0]: 7 is not an object"},
	{"whole 1", plan(`{"id":"B","available_l":3,"strength_pct":40,"whole":1}`), "sources[0].whole: 1 is neither true nor false"},
	{"share over 1", plan(`{"id":"B","available_l":3,"strength_pct":40,"shares":{"rye":1.2}}`), "sources[0].shares.rye: 1.2 is outside 0 to 1"},
	{"shares a list", plan(`{"id":"B","available_l":3,"strength_pct":40,"shares":[1]}`), "sources[0].shares: a list is not an object of numbers"},
	{"must and must not", plan(`{"id":"B","available_l":3,"strength_pct":40,"must_use":true,"must_not_use":true}`), "sources[0].must_use: is true and so is must_not_use"},
	{"objective", planWith(`"objective":"best"`), `objective: "best" is not one of [least_cost`},
	{"objective without its data", planWith(`"objective":"least_cost"`), `sources[0].cost_per_l: is missing for "A", and objective "least_cost" needs it`},
	{"closest to nothing", planWith(`"objective":"closest_scores"`), "wanted: is missing for target 1"},
	{"vessels 2.5", planWith(`"limits":{"max_vessels":2.5}`), "limits.max_vessels: 2.5 is not a whole number"},
	{"vessels 0", planWith(`"limits":{"max_vessels":0}`), "limits.max_vessels: 0 is outside 1 to"},
	{"share of nothing", planWith(`"limits":{"shares":[{"min":0.5}]}`), "limits.shares[0].of: is missing"},
	{"share without bounds", planWith(`"limits":{"shares":[{"of":"rye"}]}`), "limits.shares[0]: has neither min nor max"},
	{"share crossed", planWith(`"limits":{"shares":[{"of":"rye","min":0.6,"max":0.5}]}`), "limits.shares[0].min: 0.6 is above its max of 0.5"},
	{"chance", planWith(`"chance":95`), "chance: 95 is outside 0.5 to 0.9999"},
	{"both targets", planWith(`"targets":[{"volume_l":1,"strength_pct":40}]`), "targets: is given beside target"},
	{"a reduction of two", `{"kind":"reduction","target":{"strength_pct":40},"sources":[` + goodSource + `,"B"]}`, "sources: has 2 vessels; a reduction has one"},
	{"too deep", strings.Repeat(`{"a":`, 20) + "1" + strings.Repeat("}", 20), "is nested more than 16 deep"},
}

func plan(sources string) string {
	return `{"kind":"blend","target":{"volume_l":1,"strength_pct":40},"sources":[` + sources + `]}`
}

func planWith(field string) string {
	return `{"kind":"blend","target":{"volume_l":1,"strength_pct":40},"sources":[` + goodSource + `],` + field + `}`
}

func TestParseRefuses(t *testing.T) {
	for _, c := range refusals {
		t.Run(c.name, func(t *testing.T) {
			_, err := Parse([]byte(c.text))
			var bad *InvalidPlan
			if !errors.As(err, &bad) {
				t.Fatalf("got %v", err)
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("the error is %q and should say %q", err, c.want)
			}
		})
	}
}

func TestParseTellsEveryProblem(t *testing.T) {
	_, err := Parse([]byte(plan(`{"id":"A","available_l":-1,"strength_pct":400,"age":3},{"id":"B"}`)))
	var bad *InvalidPlan
	if !errors.As(err, &bad) || len(bad.Problems) != 3 {
		t.Fatalf("got %v", err)
	}
}

// TestPlanRoundTrip: a plan written out and read back is the same plan.
func TestPlanRoundTrip(t *testing.T) {
	const seed = 3
	random := rand.New(rand.NewPCG(seed, 0))
	for i := range 200 {
		p := randomPlan(random, family{sources: 6, targets: 3, integer: true})
		text, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Parse(text)
		if err != nil {
			t.Fatalf("seed %d, plan %d: %v\n%s", seed, i, err, text)
		}
		if len(again.Targets) == 0 {
			again.Targets = nil
		}
		if asJSON(p) != asJSON(again) {
			t.Fatalf("seed %d, plan %d came back otherwise:\n%s\n%s", seed, i, asJSON(p), asJSON(again))
		}
	}
}

func TestFill(t *testing.T) {
	p, err := Parse([]byte(plan(`"A",{"id":"B","keep_l":2,"must_use":true},` + `{"id":"C","available_l":3,"strength_pct":60}`)))
	if err != nil {
		t.Fatal(err)
	}
	if got := p.Unfilled(); !reflect.DeepEqual(got, []string{"A", "B"}) {
		t.Fatalf("unfilled are %v", got)
	}
	if _, err := Solve(p); err == nil || !strings.Contains(err.Error(), `sources[0]: "A" has no available_l and strength_pct`) {
		t.Errorf("solving it as it is: %v", err)
	}
	if err := p.Fill("C", Source{AvailableL: 1, StrengthPct: 50}); err == nil {
		t.Error("C was filled although the file says what is in it")
	}
	if err := p.Fill("D", Source{AvailableL: 1, StrengthPct: 50}); err == nil {
		t.Error("D is not in the plan and was filled")
	}
	if err := p.Fill("A", Source{AvailableL: 5, StrengthPct: 146}); err == nil || !strings.Contains(err.Error(), "sources[0].strength_pct: 146") {
		t.Errorf("a strength of 146: %v", err)
	}
	for _, id := range p.Unfilled() {
		if err := p.Fill(id, Source{AvailableL: 5, StrengthPct: 55, Shares: map[string]float64{"oat": 1}}); err != nil {
			t.Fatal(err)
		}
	}
	if b := p.Sources[1]; len(p.Unfilled()) != 0 || b.KeepL != 2 || !b.MustUse || b.AvailableL != 5 || b.Shares["oat"] != 1 {
		t.Errorf("B is %+v", b)
	}
	if r, err := Solve(p); err != nil || r.Status != StatusOptimal {
		t.Errorf("%+v, %v", r, err)
	}
}

func FuzzParse(f *testing.F) {
	for _, c := range refusals {
		f.Add([]byte(c.text))
	}
	files, err := filepath.Glob("../../testdata/plans/*.json")
	if err != nil || len(files) == 0 {
		f.Fatal("no plan files to start from", err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := Parse(text)
		if err != nil {
			var bad *InvalidPlan
			if !errors.As(err, &bad) || len(bad.Problems) == 0 || bad.Error() == "" {
				t.Fatalf("an error of another kind: %v", err)
			}
			return
		}
		if len(p.Unfilled()) > 0 || len(p.Sources) > 6 || len(p.goals()) > 3 {
			return
		}
		if r, err := Solve(p); err == nil && r.Status == StatusOptimal {
			recheck(t, p, r)
		}
	})
}
