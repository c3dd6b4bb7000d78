package server_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// Names that are promised to programs.
var (
	stockNames = []string{
		"vessel", "on", "kind", "place", "volume_l", "volume_sd_l", "strength_pct", "strength_sd", "pure_alcohol_l",
		"age_days", "youngest_days", "loss_pct_per_year", "drift_pct_per_year", "flags",
	}
	forecastNames = []string{
		"vessel", "at", "volume_l", "volume_sd_l", "volume_lo_l", "volume_hi_l", "strength_pct", "strength_sd",
		"strength_lo_pct", "strength_hi_pct", "pure_alcohol_l", "flags",
	}
	planNames = []string{"status", "objective", "draws", "water_l", "water_kg", "result"}
)

func decoded[T any](t *testing.T, a answer) T {
	t.Helper()
	var value T
	if err := json.Unmarshal([]byte(a.body), &value); err != nil {
		t.Fatalf("status %d, no JSON: %v: %.200s", a.status, err, a.body)
	}
	return value
}

func TestNamesPromisedToPrograms(t *testing.T) {
	h := demoHouse(t)
	for address, names := range map[string][]string{"/api/stock": stockNames, "/api/forecast?at=2028-01-01": forecastNames} {
		for _, line := range decoded[[]map[string]any](t, h.get(address)) {
			for _, name := range names {
				if _, ok := line[name]; !ok {
					t.Errorf("%s of %v lacks %s", address, line["vessel"], name)
				}
			}
			if flags, ok := line["flags"].([]any); !ok {
				t.Errorf("%s of %v: flags are %v, not a list", address, line["vessel"], flags)
			}
		}
	}
}

func TestStockOfThePast(t *testing.T) {
	h := demoHouse(t)
	now := decoded[[]book.StockLine](t, h.get("/api/stock"))
	then := decoded[[]book.StockLine](t, h.get("/api/stock?on=2024-11-25"))
	if len(now) == 0 || len(now) != len(then) {
		t.Fatalf("%d vessels now, %d then", len(now), len(then))
	}
	younger := 0
	for i := range now {
		if then[i].On != "2024-11-25" || now[i].On != "2026-11-25" {
			t.Fatalf("lines are of %s and %s", now[i].On, then[i].On)
		}
		if now[i].Kind == "cask" && !now[i].Empty() && now[i].FilledOn == then[i].FilledOn && maps.Equal(keys(now[i].Batches), keys(then[i].Batches)) {
			if then[i].YoungestDays >= now[i].YoungestDays {
				t.Errorf("%s was %d days old then and is %d now", now[i].Vessel, then[i].YoungestDays, now[i].YoungestDays)
			}
			younger++
		}
	}
	if younger < 10 {
		t.Errorf("only %d vessels have the filling that they had then", younger)
	}
}

// keys is a set of names.
func keys(shares map[string]float64) map[string]bool {
	set := make(map[string]bool)
	for name := range shares {
		set[name] = true
	}
	return set
}

// TestWhatWasKnown takes a sample that was written up late: asked as known
// before, its day shows without it.
func TestWhatWasKnown(t *testing.T) {
	h := smallHouse(t)
	*h.now = today.AddDate(0, 0, 5)
	h.record(cellar.Request{When: today, Entry: "sample", Vessel: rye, StrengthPct: number(61.3), VolumeL: number(37)})
	if a := h.get("/v/RYE-1?on=2026-11-25"); !a.says("61.3 % vol") || !a.says("As it was on 2026-11-25.") {
		t.Error("the day does not show the late sample")
	}
	a := h.get("/v/RYE-1?on=2026-11-25&known=2026-11-27")
	if a.status != http.StatusOK || a.says("61.3 % vol") || !a.says("As it was known on 2026-11-27.") {
		t.Errorf("as known before it was written up: status %d, or it shows the sample", a.status)
	}
	if strings.Contains(a.body, "/log/sample") {
		t.Error("a past day offers to write")
	}
	if early := h.get("/v/RYE-1?on=2025-01-01"); early.status != http.StatusOK || !early.says("Empty.") {
		t.Errorf("before the fill: status %d", early.status)
	}
}

func TestDaysThatCannotBe(t *testing.T) {
	h := smallHouse(t)
	for _, address := range []string{"/vessels?on=yesterday", "/?known=2026-02-30", "/api/stock?on=25.11.2026", "/api/forecast", "/api/forecast?at=soon"} {
		if a := h.get(address); a.status != unprocessable || !a.says("YYYY-MM-DD") {
			t.Errorf("%s: status %d: %.200s", address, a.status, a.body)
		}
	}
}

func TestPlansForPrograms(t *testing.T) {
	h := smallHouse(t)
	const wish = `{"kind":"blend","target":{"volume_l":8,"strength_pct":46},"sources":[{"id":"RYE-1"},{"id":"oat-1"}],"water":true,"objective":"oldest_first"}`
	plan := decoded[map[string]any](t, h.postJSON("/api/plan", wish))
	for _, name := range planNames {
		if _, ok := plan[name]; !ok {
			t.Errorf("the plan lacks %s", name)
		}
	}
	if plan["status"] != "optimal" {
		t.Errorf("the plan is %v", plan["status"])
	}
	for body, want := range map[string]string{
		``:    "",
		`{}`:  "kind",
		`[1]`: "",
		`{"kind":"blend","target":{"volume_l":8,"strength_pct":146},"sources":[{"id":"RYE-1"}]}`:                   "strength_pct",
		`{"kind":"blend","target":{"volume_l":8,"strength_pct":46},"sources":[{"id":"NONE"}]}`:                     "NONE",
		`{"kind":"blend","target":{"volume_l":8,"strength_pct":46},"sources":[{"id":"RYE-1"}],"objective":"luck"}`: "luck",
		`{"kind":"blend","tarhet":{}}`: "tarhet",
	} {
		a := h.postJSON("/api/plan", body)
		if (a.status != unprocessable && a.status != notFound) || !a.says(want) {
			t.Errorf("%s: status %d: %s", body, a.status, a.body)
		}
	}
}

func TestEntriesOfPrograms(t *testing.T) {
	h := smallHouse(t)
	const id = "01KAYQ5W0000000000000000AB"
	sample := fmt.Sprintf(`{"id":%q,"entry":"sample","vessel":"rye-1","reading_pct":61.5,"temp_c":15}`, id)
	preview := decoded[map[string]any](t, h.unchanged("preview", func() answer { return h.postJSON("/api/preview", sample) }))
	if text, _ := preview["text"].(string); !strings.Contains(text, "% vol") {
		t.Errorf("the preview says %v", preview)
	}
	first, again := h.postJSON("/api/entries", sample), h.postJSON("/api/entries", sample)
	if first.status != http.StatusCreated || again.status != http.StatusCreated || first.body != again.body {
		t.Errorf("status %d and %d: %s %s", first.status, again.status, first.body, again.body)
	}
	if e := decoded[map[string]any](t, first); e["id"] != id || e["seq"] == nil || e["text"] == nil {
		t.Errorf("the answer is %v", e)
	}
	doubts := h.unchanged("doubts", func() answer {
		return h.postJSON("/api/entries", `{"entry":"sample","vessel":"RYE-1","strength_pct":71}`)
	})
	questions := decoded[struct{ Questions []cellar.Question }](t, doubts)
	if doubts.status != unprocessable || len(questions.Questions) == 0 || !slices.ContainsFunc(questions.Questions, func(q cellar.Question) bool { return q.Field == "strength_pct" }) {
		t.Errorf("doubts: status %d: %s", doubts.status, doubts.body)
	}
	for body, want := range map[string]string{
		`{"entry":"sample","vessel":"NONE","strength_pct":61}`:   `"kind":"not found"`,
		`{"entry":"sample","vessel":"RYE-1","strength_pct":161}`: `"kind":"invalid"`,
		`{"entry":"draw","vessel":"RYE-1","drawn_l":49}`:         `"kind":"refused"`,
		`{"entry":"dance","vessel":"RYE-1"}`:                     "dance",
		`{"entry":"note","vessel":"RYE-1","nota":"x"}`:           "nota",
		`{"entry":"note"`: "not an entry",
	} {
		a := h.unchanged(body, func() answer { return h.postJSON("/api/entries", body) })
		if (a.status != unprocessable && a.status != notFound) || !strings.Contains(a.body, want) {
			t.Errorf("%s: status %d: %s", body, a.status, a.body)
		}
	}
	form := h.unchanged("a form", func() answer { return h.post("/api/entries", []string{"entry", "note"}) })
	if form.status != http.StatusUnsupportedMediaType {
		t.Errorf("a form at the programs' address: status %d", form.status)
	}
}
