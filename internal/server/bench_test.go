package server_test

import (
	"bytes"
	"encoding/json"
	"html"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"example.org/croze/internal/blend"
	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// field finds the value of a named field of a form.
func (a answer) field(t *testing.T, name string) string {
	t.Helper()
	found := regexp.MustCompile(`name="` + regexp.QuoteMeta(name) + `"[^>]* ?value="([^"]*)"`).FindStringSubmatch(a.body)
	if found == nil {
		t.Fatalf("there is no field %s", name)
	}
	return html.UnescapeString(found[1])
}

// wholeWish is a wish in which every field of the form says something.
var wholeWish = []string{
	"volume_l", "12", "strength_pct", "46", "objective", "closest_scores", "water", "1", "use", rye, "use", oat,
	"min_age", "300", "min_age_unit", "days", "max_vessels", "2", "max_residue", "0.5", "keep_l", "1", "min_l", "0.5", "chance_pct", "90",
	"share_of_0", "rye", "share_min_0", "51", "share_max_0", "100", "share_of_1", "wood:oak, new", "share_max_1", "99",
	"score_of_0", "fruit", "score_min_0", "2", "score_max_0", "8", "score_wanted_0", "5", "score_weight_0", "2",
	"name", "first", "name_2", "second", "volume_2_l", "3", "strength_2_pct", "50",
	"mode:" + rye, "must", "keep:" + rye, "2", "min:" + rye, "3", "cost:" + rye, "14.5", "whole:" + oat, "1",
}

// The form says the whole plan file, and the file is one that the planner reads.
func TestTheFormSaysThePlanFile(t *testing.T) {
	h := smallHouse(t)
	sent := h.post("/bench/plan", wholeWish)
	if sent.status != http.StatusSeeOther {
		t.Fatalf("the wish is answered with %d", sent.status)
	}
	address, _, _ := strings.Cut(sent.header.Get("Location"), "#")
	file := h.get(strings.Replace(address, "/bench/plan?", "/bench/plan.json?", 1))
	p, err := blend.Parse([]byte(file.body))
	must(t, err)
	if len(p.Targets) != 2 || p.Targets[0].Name != "first" || p.Targets[1].VolumeL != 3 || p.Targets[1].StrengthPct != 50 {
		t.Errorf("the targets are %+v", p.Targets)
	}
	l := p.Limits
	if l.MinAgeDays != 300 || l.MaxVessels != 2 || l.MaxResidue != 0.5 || len(l.Shares) != 2 || *l.Shares[0].Min != 0.51 || *l.Shares[1].Max != 0.99 || l.Shares[1].Of != "wood:oak, new" {
		t.Errorf("the limits are %+v", l)
	}
	if *l.Scores[0].Min != 2 || *l.Scores[0].Max != 8 || p.Wanted["fruit"] != 5 || p.Weights["fruit"] != 2 || p.Chance != 0.9 || !p.Water {
		t.Errorf("the plan is %+v", p)
	}
	first, second := p.Sources[0], p.Sources[1]
	if first.ID != rye || !first.MustUse || first.KeepL != 2 || first.MinL != 3 || first.CostPerL == nil || *first.CostPerL != 14.5 {
		t.Errorf("the first source is %+v", first)
	}
	if second.ID != oat || !second.Whole || second.KeepL != 1 || second.MinL != 0.5 || second.MustUse {
		t.Errorf("the second source is %+v", second)
	}
}

// A file that was downloaded and brought back is the same wish in the form.
func TestAPlanFileComesBackIntoTheForm(t *testing.T) {
	h := smallHouse(t)
	address, _, _ := strings.Cut(h.post("/bench/plan", wholeWish).header.Get("Location"), "#")
	file := h.get(strings.Replace(address, "/bench/plan?", "/bench/plan.json?", 1))
	for name, back := range map[string]answer{
		"pasted":   h.post("/bench/file", []string{"plan", file.body}),
		"uploaded": h.upload("/bench/file", "file", file.body),
	} {
		if back.status != http.StatusSeeOther {
			t.Fatalf("%s: status %d: %s", name, back.status, back.body)
		}
		again, _, _ := strings.Cut(back.header.Get("Location"), "#")
		same := h.get(strings.Replace(again, "/bench/plan?", "/bench/plan.json?", 1))
		if same.body != file.body {
			t.Errorf("%s: came back as\n%s, was\n%s", name, same.body, file.body)
		}
	}
}

func (h house) upload(address, field, text string) answer {
	h.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, err := form.CreateFormFile(field, "plan.json")
	must(h.t, err)
	_, err = part.Write([]byte(text))
	must(h.t, err)
	must(h.t, form.Close())
	r := httptest.NewRequest(http.MethodPost, address, &body)
	r.Header.Set("Content-Type", form.FormDataContentType())
	return h.do(r)
}

// A file with its own stock, or with limits of one target, is answered from the file.
func TestAPlanFileThatTheFormCannotSay(t *testing.T) {
	h := smallHouse(t)
	file := `{"kind":"blend","target":{"volume_l":10,"strength_pct":46},"sources":[{"id":"X","available_l":20,"strength_pct":60}],"water":true}`
	a := h.post("/bench/file", []string{"plan", file})
	if a.status != http.StatusOK || !a.says("says more than the form can") || !a.says("makes") || a.says("Keep the plan") {
		t.Errorf("status %d: %s", a.status, a.body)
	}
	reduction := `{"kind":"reduction","target":{"strength_pct":46},"sources":[{"id":"X","available_l":20,"strength_pct":60}],"portion_l":10}`
	if a = h.post("/bench/file", []string{"plan", reduction}); a.status != http.StatusOK || !a.says("In measures") {
		t.Errorf("a reduction: status %d", a.status)
	}
	clash := strings.Replace(file, `"volume_l":10`, `"volume_l":100`, 1)
	a = h.post("/bench/file", []string{"plan", clash})
	if !a.says("There is no such plan") {
		t.Fatalf("an impossible file is answered with %s", a.body)
	}
	repaired := regexp.MustCompile(`action="/bench/file"><input type="hidden" name="plan" value="([^"]*)"`).FindStringSubmatch(a.body)
	if repaired == nil {
		t.Fatal("no nearest plan is offered")
	}
	if a = h.post("/bench/file", []string{"plan", html.UnescapeString(repaired[1])}); !a.says("makes") {
		t.Errorf("the nearest plan is answered with %s", a.body)
	}
}

// badWishes are refused on the page, with the field in the words of the form.
var badWishes = []struct {
	what   string
	fields []string
	says   string
}{
	{"nothing", nil, "volume"},
	{"a comma", []string{"volume_l", "12,5", "strength_pct", "46"}, `"12,5"`},
	{"no volume", []string{"volume_l", "0", "strength_pct", "46"}, "Volume, L"},
	{"a strength beyond all", []string{"volume_l", "10", "strength_pct", "146"}, "146"},
	{"a chance of one half less", []string{"volume_l", "10", "strength_pct", "46", "chance_pct", "20"}, "chance"},
	{"half a vessel", []string{"volume_l", "10", "strength_pct", "46", "max_vessels", "1.5"}, "not a whole number"},
	{"an unknown objective", []string{"volume_l", "10", "strength_pct", "46", "objective", "prettiest"}, "prettiest"},
	{"an unknown vessel", []string{"volume_l", "10", "strength_pct", "46", "use", "NONE"}, "no such vessel"},
	{"least cost of unknown costs", []string{"volume_l", "10", "strength_pct", "46", "objective", "least_cost", "water", "1"}, rye},
	{"scores without a wish", []string{"volume_l", "10", "strength_pct", "46", "objective", "closest_scores", "water", "1"}, "wanted"},
	{"a keep that is no number", []string{"volume_l", "10", "strength_pct", "46", "keep:" + rye, "some"}, rye},
	{"a share of nothing said", []string{"volume_l", "10", "strength_pct", "46", "share_of_0", "rye"}, "rye"},
	{"a share beyond all", []string{"volume_l", "10", "strength_pct", "46", "share_of_0", "rye", "share_min_0", "150"}, "rye, share"},
}

func TestWishesThatAreRefused(t *testing.T) {
	h := smallHouse(t)
	for _, bad := range badWishes {
		values := url.Values{}
		for i := 0; i+1 < len(bad.fields); i += 2 {
			values.Add(bad.fields[i], bad.fields[i+1])
		}
		a := h.get("/bench/plan?" + values.Encode())
		if a.status != http.StatusUnprocessableEntity && a.status != http.StatusNotFound || !strings.Contains(a.body, `class="problem"`) || !a.says(bad.says) {
			t.Errorf("%s: status %d, and it does not say %q", bad.what, a.status, bad.says)
		}
	}
	for what, file := range map[string]string{"nothing": "", "no JSON": "{", "an unknown field": `{"kind":"blend","surprise":1}`, "a list": "[]"} {
		if a := h.post("/bench/file", []string{"plan", file}); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `class="problem"`) {
			t.Errorf("a plan file of %s: status %d", what, a.status)
		}
	}
}

// An impossible wish is explained, drawn, and repaired by a link.
func TestAnImpossibleWishIsRepaired(t *testing.T) {
	h := smallHouse(t)
	a := h.get("/bench/plan?volume_l=400&strength_pct=46&water=1&objective=oldest_first")
	for _, want := range []string{"There is no such plan", "400 L is wanted", "Because", "<svg", "nearest:", "The line in numbers"} {
		if !a.says(want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	link := regexp.MustCompile(`href="(/bench/plan\?[^"#]*)#plan">Plan this`).FindStringSubmatch(a.body)
	if link == nil {
		t.Fatal("no nearest plan is offered")
	}
	if a = h.get(html.UnescapeString(link[1])); a.status != http.StatusOK || !a.says("The plan") || !a.says("Keep the plan") {
		t.Errorf("the nearest plan: status %d", a.status)
	}
}

// The answer says what the plan means for the store.
func TestTheAnswer(t *testing.T) {
	h := smallHouse(t)
	saved := h.post("/bench/costs", []string{"cost:" + rye, "14.5", "cost:" + oat, "20"})
	if saved.status != http.StatusSeeOther {
		t.Fatalf("the costs: status %d", saved.status)
	}
	a := h.get("/bench/plan?volume_l=20&strength_pct=46&water=1&objective=least_cost")
	for _, want := range []string{
		"balance shows, kg", "is the chance that every draw can be made", "Gauge", "Side by side", "Loss avoided", "Mean age left", "Left in the vessels",
		"lost in a year", "gauge before you bottle", "with today's stock", "± ",
	} {
		if !a.says(want) {
			t.Errorf("the answer does not say %q", want)
		}
	}
	if got := h.get("/bench/plan?volume_l=5&strength_pct=46&water=1&objective=least_cost&cost:" + rye + "=500"); !got.says(oat) {
		t.Error("a cost that was typed does not count")
	}
	file := h.get("/bench/plan.json?volume_l=20&strength_pct=46&water=1&stock=1")
	p, err := blend.Parse([]byte(file.body))
	must(t, err)
	if len(p.Unfilled()) > 0 {
		t.Errorf("the file with the stock leaves %v open", p.Unfilled())
	}
	if r, err := blend.Solve(p); err != nil || r.Status != blend.StatusOptimal {
		t.Errorf("the file stands for itself: %s, %v", r.Status, err)
	}
}

// Two bottlings compete for the same stock, and are kept one by one.
func TestTwoBottlings(t *testing.T) {
	h := smallHouse(t)
	a := h.get("/bench/plan?volume_l=10&strength_pct=46&water=1&objective=oldest_first&name=first&name_2=second&volume_2_l=8&strength_2_pct=50")
	if !a.says("Keep “first”") || !a.says("Keep “second”") {
		t.Error("the two bottlings cannot be kept one by one")
	}
}

func TestCostsThatAreRefused(t *testing.T) {
	h := smallHouse(t)
	for written, want := range map[string]int{"dear": http.StatusUnprocessableEntity, "1e9": http.StatusUnprocessableEntity, "9999999999": http.StatusUnprocessableEntity} {
		a := h.unchanged("a cost of "+written, func() answer { return h.post("/bench/costs", []string{"cost:" + rye, written}) })
		if a.status != want || !a.says(written) {
			t.Errorf("a cost of %s: status %d", written, a.status)
		}
	}
	a := h.unchanged("a cost of an unknown vessel", func() answer { return h.post("/bench/costs", []string{"cost:NONE", "3"}) })
	if a.status != http.StatusNotFound {
		t.Errorf("a cost of an unknown vessel: status %d", a.status)
	}
	h.post("/bench/costs", []string{"cost:" + rye, "14.5"})
	h.unchanged("the same cost again", func() answer { return h.post("/bench/costs", []string{"cost:" + rye, "14.5", "cost:" + oat, ""}) })
}

// keep plans a bottling and keeps it; it returns the address of the vat.
func (h house) keep(t *testing.T, query, name string) string {
	t.Helper()
	a := h.get("/bench/plan?" + query)
	if a.status != http.StatusOK {
		t.Fatalf("%s: status %d", query, a.status)
	}
	form := answer{body: a.body[strings.Index(a.body, `action="/bench/keep"`):]}
	fields := []string{"id", form.field(t, "id"), "file", form.field(t, "file"), "making", form.field(t, "making"), "plan_name", name}
	kept := h.post("/bench/keep", fields)
	if kept.status != http.StatusSeeOther {
		t.Fatalf("keeping: status %d: %s", kept.status, kept.body)
	}
	h.unchanged("the same plan kept again", func() answer { return h.post("/bench/keep", fields) })
	address, _, _ := strings.Cut(kept.header.Get("Location"), "?")
	return address
}

func TestAPlanIsKeptAndDropped(t *testing.T) {
	h := smallHouse(t)
	vat := h.keep(t, "volume_l=20&strength_pct=46&water=1&objective=oldest_first", "spring bottling")
	if a := h.get("/"); !a.says("spring bottling") || !a.says("To the vat") {
		t.Error("Today does not show the plan that waits")
	}
	if a := h.get("/bench?use=" + rye); !strings.Contains(a.body, `value="`+rye+`" checked`) {
		t.Error("a vessel that the address names is not ticked")
	}
	if a := h.get("/plans"); !a.says("spring bottling") || !a.says("waiting") {
		t.Error("the plan is not among those that wait")
	}
	file := h.get(vat + "/file")
	if _, err := blend.Parse([]byte(file.body)); err != nil {
		t.Errorf("the kept plan file: %v", err)
	}
	if a := h.post(vat+"/drop", []string{"reason", "sold out"}); a.status != http.StatusSeeOther {
		t.Errorf("dropping: status %d", a.status)
	}
	if a := h.get(vat); a.status != http.StatusNotFound {
		t.Errorf("a dropped plan: status %d", a.status)
	}
	var entry string
	must(t, h.book.See(book.Moment{}, func(v *book.View) error { entry = v.Entries[0].ID; return nil }))
	a := h.unchanged("dropping what is no plan", func() answer { return h.post("/plans/"+entry+"/drop", nil) })
	if a.status != http.StatusNotFound {
		t.Errorf("dropping what is no plan: status %d", a.status)
	}
}

func TestPlansThatCannotBeKept(t *testing.T) {
	h := smallHouse(t)
	planned := h.get("/bench/plan?volume_l=20&strength_pct=46&water=1&objective=oldest_first")
	again := h.post("/bench/keep", []string{
		"file", planned.field(t, "file"), "making", planned.field(t, "making"), "plan_name", "spring", "wanted", "2020-01-01",
	})
	if again.status != http.StatusUnprocessableEntity || !again.says("lies in the past") || !again.says("Keep the plan") {
		t.Errorf("a day gone by: status %d, and the plan is not offered again", again.status)
	}
	making, err := json.Marshal(cellar.Plan{Draws: []cellar.PlanDraw{{Vessel: rye, VolumeL: 5, StrengthPct: 60}}, VolumeL: 6, StrengthPct: 50})
	must(t, err)
	for what, fields := range map[string][]string{
		"nothing":           nil,
		"no name":           {"making", string(making), "file", "{}"},
		"no file":           {"making", string(making), "plan_name", "x"},
		"half a plan":       {"making", "{", "plan_name", "x", "file", "{}"},
		"a day gone by":     {"making", string(making), "plan_name", "x", "file", "{}", "wanted", "2020-01-01"},
		"no day":            {"making", string(making), "plan_name", "x", "file", "{}", "wanted", "soon"},
		"an unknown vessel": {"making", strings.Replace(string(making), rye, "NONE", 1), "plan_name", "x", "file", "{}"},
	} {
		a := h.unchanged(what, func() answer { return h.post("/bench/keep", fields) })
		if a.status != http.StatusUnprocessableEntity && a.status != http.StatusNotFound {
			t.Errorf("%s: status %d", what, a.status)
		}
	}
}

// A wish may tick thousands of vessels: the address is read whole.
func TestALongAddress(t *testing.T) {
	h := smallHouse(t)
	address := "/bench/plan?volume_l=10&strength_pct=46&water=1&use=" + rye + strings.Repeat("&use=4T8-M8Y", 4000)
	if a := h.get(address); a.status != http.StatusUnprocessableEntity || !a.says("4T8-M8Y") {
		t.Errorf("status %d", a.status)
	}
}
