package server_test

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
)

// begun begins a round through the two filled vessels and returns its ID.
func (h house) begun() string {
	h.t.Helper()
	a := h.post("/rounds", []string{"id", h.formID("/rounds"), "name", "West row", "vessel", rye, "vessel", oat})
	address, found := strings.CutPrefix(a.header.Get("Location"), "/rounds/")
	if a.status != http.StatusSeeOther || !found {
		h.t.Fatalf("status %d, to %q: %s", a.status, a.header.Get("Location"), problemOf(a))
	}
	id, _, _ := strings.Cut(address, "?")
	return id
}

// fields of a sample of a round.
func onRound(round, strength string) []string {
	return []string{"round", round, "strength", strength, "scale", "corrected", "sure", "1"}
}

func TestWalkingARound(t *testing.T) {
	h := smallHouse(t)
	if a := h.get("/rounds"); !a.says("2 vessels are due") || !strings.Contains(a.body, `value="RYE-1" checked`) {
		t.Error("the page does not propose what is due")
	}
	round := h.begun()
	next := h.get("/rounds/" + round + "/next")
	if to := next.header.Get("Location"); to != "/v/OAT-1/log/sample?round="+round {
		t.Fatalf("it begins with %q", to)
	}
	form := h.get("/v/OAT-1/log/sample?round=" + round)
	if !form.says("0 of 2 done") || !form.says("Expected") {
		t.Error("the form does not say where the round is, or what to expect")
	}
	saved := h.post("/v/OAT-1/log/sample", onRound(round, "62.5"))
	on, err := url.Parse(saved.header.Get("Location"))
	must(t, err)
	if on.Path != "/rounds/"+round+"/next" || on.Query().Get("undo") == "" {
		t.Fatalf("after the first it leads to %s", on)
	}
	led := h.get(on.String()).header.Get("Location")
	if !strings.HasPrefix(led, "/v/RYE-1/log/sample?") {
		t.Fatalf("then comes %s", led)
	}
	if a := h.get(led); !a.says("Saved.") || !strings.Contains(a.body, "/undo") || !a.says("1 of 2 done") {
		t.Error("the next form does not say that it was saved, or offers no undo")
	}
	if a := h.get("/rounds/" + round); !a.says("1 of 2 done") || !a.says("62.5 % vol") {
		t.Error("the round does not show what was found")
	}
	skipped := h.post("/rounds/"+round+"/skip", []string{"vessel", rye, "reason", "behind the press"})
	if to := h.get(skipped.header.Get("Location")).header.Get("Location"); !strings.HasPrefix(to, "/rounds/"+round+"?") {
		t.Errorf("at the end it leads to %s", to)
	}
	if a := h.get("/rounds/" + round); !a.says("Finished.") || !a.says("behind the press") {
		t.Error("the round is not finished")
	}
}

func TestUndoRightAfterSaving(t *testing.T) {
	h := smallHouse(t)
	round, stock := h.begun(), h.get("/api/stock").body
	saved := h.post("/v/OAT-1/log/sample", onRound(round, "62.5"))
	on, err := url.Parse(saved.header.Get("Location"))
	must(t, err)
	a := h.post("/book/"+on.Query().Get("undo")+"/undo", []string{"round", round})
	if to := a.header.Get("Location"); a.status != http.StatusSeeOther || to != "/v/OAT-1/log/sample?done=undone&round="+round {
		t.Errorf("status %d, to %q", a.status, to)
	}
	if h.get("/api/stock").body != stock {
		t.Error("something of it is left")
	}
	if a := h.get("/rounds/" + round); !a.says("0 of 2 done") {
		t.Error("the round does not go back to it")
	}
	if a := h.unchanged("undoing twice", func() answer { return h.post("/book/"+on.Query().Get("undo")+"/undo", nil) }); a.status != http.StatusConflict {
		t.Errorf("undoing twice: status %d", a.status)
	}
	if a := h.unchanged("undoing nothing", func() answer { return h.post("/book/none/undo", nil) }); a.status != notFound {
		t.Errorf("undoing nothing: status %d", a.status)
	}
}

func TestRoundsRefuse(t *testing.T) {
	h := smallHouse(t)
	round := h.begun()
	for _, c := range []struct {
		address string
		fields  []string
		status  int
		says    string
	}{
		{"/rounds", []string{"name", "x"}, unprocessable, "choose some"},
		{"/rounds", []string{"name", "x", "vessel", spare}, unprocessable, "it is empty"},
		{"/rounds", []string{"name", "x", "vessel", "NONE"}, notFound, "no such vessel"},
		{"/rounds/rhythm", []string{"days_cask", "often"}, unprocessable, "not a whole number"},
		{"/rounds/rhythm", []string{"days_cask", "-1"}, unprocessable, "0 (never)"},
		{"/rounds/" + round + "/skip", []string{"vessel", rye}, unprocessable, "say why"},
		{"/rounds/" + round + "/skip", []string{"vessel", spare, "reason", "r"}, notFound, "not in this round"},
		{"/rounds/none/skip", []string{"vessel", rye, "reason", "r"}, notFound, "no such round"},
	} {
		a := h.unchanged(c.address, func() answer { return h.post(c.address, c.fields) })
		if a.status != c.status || !a.says(c.says) {
			t.Errorf("%s %v: status %d, want %d, saying %q; it says %s", c.address, c.fields, a.status, c.status, c.says, problemOf(a))
		}
	}
	if a := h.get("/rounds/none"); a.status != notFound {
		t.Errorf("a round that never was: status %d", a.status)
	}
}

func TestRhythmAndAims(t *testing.T) {
	h := smallHouse(t)
	if a := h.post("/rounds/rhythm", []string{"days_cask", "0", "days_hybrid", "180", "days_jar", "7", "days_tank", "0"}); a.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", a.status, problemOf(a))
	}
	if a := h.get("/rounds"); !a.says("1 vessel is due") || !strings.Contains(a.body, `name="days_jar" inputmode="numeric" value="7"`) {
		t.Error("the rhythm is not kept to")
	}
	if a := h.post("/v/RYE-1/log/aim", []string{"on", "2026-11-25", "for", "bottle", "note", "the autumn lot"}); a.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", a.status, problemOf(a))
	}
	if a := h.get("/"); !a.says("the autumn lot") || !strings.Contains(a.body, "/v/RYE-1/bottling") {
		t.Error("Today does not show the bottling")
	}
	if a := h.get("/v/RYE-1"); !a.says("Planned to bottle it from 2026-11-25") || !a.says("To be bottled from") {
		t.Error("the history does not show the aim")
	}
}

func TestLabelsAreReplaced(t *testing.T) {
	h := smallHouse(t)
	if a := h.post("/v/RYE-1/log/relabel", []string{"note", "torn by the barrow"}); a.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", a.status, problemOf(a))
	}
	if a := h.get("/v/RYE-1"); !a.says("Its label was replaced") || !a.says("torn by the barrow") {
		t.Error("the history does not show it")
	}
	h.record(cellar.Request{When: today, Entry: "bottle", Vessel: rye, Lot: "Spring-1", Bottles: []cellar.Bottles{{SizeL: 0.5, Count: 4}}})
	for of, page := range map[string]string{"batch:R1": "/b/R1", "lot:Spring-1": "/l/Spring-1"} {
		if a := h.get(page); !strings.Contains(a.body, `value="`+of+`"`) {
			t.Errorf("%s offers nothing for a torn label", page)
		}
		a := h.post("/labels/replaced", []string{"of", of, "note", "wet through"})
		if to := a.header.Get("Location"); a.status != http.StatusSeeOther || !strings.HasPrefix(to, page+"?") {
			t.Errorf("%s: status %d, to %q", of, a.status, to)
		}
	}
	if a := h.get("/b/R1"); !a.says("Its label was replaced") || !a.says("wet through") {
		t.Error("the history of the batch does not show it")
	}
	for _, of := range []string{"", "batch:NONE", "lot:NONE"} {
		if a := h.unchanged(of, func() answer { return h.post("/labels/replaced", []string{"of", of}) }); a.status == http.StatusSeeOther {
			t.Errorf("%q: it is taken", of)
		}
	}
}

// TestSheetsForPhones reads what a phone carries.
func TestSheetsForPhones(t *testing.T) {
	h := smallHouse(t)
	round := h.begun()
	h.record(cellar.Request{When: today, Entry: "sample", Vessel: rye, StrengthPct: number(62)})
	var sheet struct {
		Round string
		Stops []struct {
			Vessel, Status string
			StrengthPct    float64 `json:"strength_pct"`
		}
	}
	must(t, json.Unmarshal([]byte(h.get("/api/rounds/"+round).body), &sheet))
	if sheet.Round != round || len(sheet.Stops) != 2 || sheet.Stops[1].Status != "done" || sheet.Stops[0].Status != "open" || sheet.Stops[0].StrengthPct < 50 {
		t.Errorf("the round's sheet is %+v", sheet)
	}
	must(t, json.Unmarshal([]byte(h.get("/api/vessels").body), &sheet))
	if len(sheet.Stops) != 3 || sheet.Stops[2].Vessel != spare || sheet.Stops[2].Status != "empty" {
		t.Errorf("the store's sheet is %+v", sheet)
	}
}

// A maker's code may hold a slash.
func TestARoundThroughAnAwkwardCode(t *testing.T) {
	h := smallHouse(t)
	const awkward = "No. 3/b"
	_, err := h.book.RegisterNewVessel("", "keeper", cellar.Vessel{Code: awkward, Kind: cellar.Cask, CapacityL: 30})
	must(t, err)
	h.record(cellar.Request{When: today.AddDate(0, 0, -300), Entry: "fill", Vessel: awkward, From: "R1", VolumeL: number(10), StrengthPct: number(63)})
	a := h.post("/rounds", []string{"name", "one", "vessel", awkward})
	round, _, _ := strings.Cut(strings.TrimPrefix(a.header.Get("Location"), "/rounds/"), "?")
	led := h.get("/rounds/" + round + "/next").header.Get("Location")
	if form := h.get(led); form.status != http.StatusOK || !form.says(awkward) {
		t.Fatalf("%s: status %d", led, form.status)
	}
	saved := h.post(strings.Replace(led, "?", "?x=", 1), onRound(round, "62"))
	if saved.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", saved.status, problemOf(saved))
	}
	if a := h.get("/rounds/" + round); !a.says("Finished.") || !strings.Contains(a.body, "/v/No.%203%2Fb") {
		t.Error("the round is not finished, or its link does not lead there")
	}
}
