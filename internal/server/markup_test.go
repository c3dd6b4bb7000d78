package server_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/sensory"
)

// evil is a name that would be markup wherever it is not escaped.
const evil = `x"'><img src=x onerror=evil()>`

// houseOfMarkup has markup in every text that somebody can write.
func houseOfMarkup(t *testing.T) staff {
	s := staffedHouse(t)
	must(t, s.all.Add(evil, "hand", password+" of another"))
	must(t, s.book.RegisterPlace("", evil, cellar.Place{Name: evil}))
	must(t, s.book.RegisterInstrument("", evil, cellar.Instrument{Name: evil, Kind: cellar.BalanceKind, From: cellar.DayOf(today) - 9, Add: 1, SD: 1, Note: evil}))
	must(t, s.book.RegisterNewBatch("", evil, cellar.Batch{Name: evil, MadeOn: cellar.DayOf(today) - 400, VolumeL: 60, StrengthPct: 63, Grains: map[string]float64{evil: 1}, Yeast: evil, Note: evil}, nil))
	for _, code := range []string{"EVIL 1", "EVIL 2"} {
		_, err := s.book.RegisterNewVessel("", evil, cellar.Vessel{Code: code, Kind: cellar.Cask, CapacityL: 50, Wood: evil, Place: evil, Spot: cellar.Spot{Row: evil, Tier: evil}, MakerCode: evil + code, Note: evil})
		must(t, err)
		s.writes(cellar.Request{When: today.AddDate(0, 0, -300), Entry: "fill", Vessel: code, From: "batch:" + evil, VolumeL: number(20), StrengthPct: number(63), Note: evil})
	}
	senses := &cellar.Senses{Colour: evil, Nose: evil, Palate: evil, Taster: evil, Scores: map[string]int{evil: 5}}
	for days := range 4 {
		s.writes(cellar.Request{When: today.AddDate(0, 0, -200+days*40), Entry: "sample", Vessel: "EVIL 1", StrengthPct: number(62), Senses: senses, Note: evil})
	}
	s.writes(cellar.Request{When: today.AddDate(0, 0, -9), Entry: "bottle", Vessel: "EVIL 1", Lot: evil, Bottles: []cellar.Bottles{{SizeL: 0.5, Count: 2}}, LabelPct: number(46), StrengthPct: number(62), Note: evil})
	s.writes(cellar.Request{When: today.AddDate(0, 0, -8), Entry: "aim", Vessel: "EVIL 1", On: cellar.DayOf(today), For: "look", Note: evil})
	s.writes(cellar.Request{When: today.AddDate(0, 0, -7), Entry: "note", Vessel: "EVIL 1", Note: evil})
	must(t, s.book.SetReady("", evil, "EVIL 2", &cellar.Ready{FloorPct: 40, Scores: []cellar.ReadyBand{{Of: evil, Min: 1, Max: 9}}}, evil))
	s.desks()
	return s
}

func (s staff) writes(r cellar.Request) {
	s.t.Helper()
	_, err := s.book.Record(book.Submission{Who: evil, Request: r, Sure: true})
	must(s.t, err)
}

// desks fills the owner's desk and the bench with it too.
func (s staff) desks() {
	s.t.Helper()
	_, err := s.book.BeginRound("", evil, evil, []string{"EVIL 1", "EVIL 2"})
	must(s.t, err)
	_, err = s.book.KeepPlan("", evil, &cellar.Plan{Name: evil, File: []byte(`{"kind":"blend"}`), Draws: []cellar.PlanDraw{{Vessel: "EVIL 1", VolumeL: 1, StrengthPct: 60}}, VolumeL: 1, StrengthPct: 60})
	must(s.t, err)
	_, err = s.book.SetUpTrial("", evil, cellar.Trial{Name: evil, Vessels: []string{"EVIL 1", "EVIL 2"}, Question: evil})
	must(s.t, err)
	must(s.t, s.book.RecordWarmTrial("", evil, "EVIL 1", cellar.WarmTrial{Name: evil, VolumeL: 1, Hours: 1, TempC: 40, Wood: evil, Colour: evil, Scores: map[string]int{evil: 1}, Note: evil}))
	must(s.t, s.book.SetTastingWords("", evil, []string{evil}))
	_, err = s.book.PlanTasting("", evil, book.TastingWish{Name: evil, Question: evil, Test: sensory.Triangle, Samples: []string{"EVIL 1", "EVIL 2"}, Tasters: []string{evil}, Alpha: 0.05})
	must(s.t, err)
	must(s.t, s.book.SaveView(book.SavedView{Name: evil, Query: "find=" + evil}))
	period := book.Period{From: cellar.DayOf(today) - 700, To: cellar.DayOf(today) - 1}
	must(s.t, s.book.ExplainLoss("", evil, cellar.Explain{Vessel: "EVIL 1", From: period.From, To: period.To, Words: evil}))
	_, err = s.book.ClosePeriod("", evil, period, nil, evil)
	must(s.t, err)
}

// TestMarkupInEveryText goes through every page and every drawing of a house
// in which every text is markup, and finds it nowhere as it was typed.
func TestMarkupInEveryText(t *testing.T) {
	s := houseOfMarkup(t)
	escaped := 0
	look := func(address string, a answer) {
		if a.status >= http.StatusInternalServerError {
			t.Errorf("%s: status %d", address, a.status)
		}
		kind := a.header.Get("Content-Type")
		if !strings.HasPrefix(kind, "text/html") && !strings.Contains(kind, "svg") {
			return
		}
		if at := strings.Index(a.body, "<img src=x"); at >= 0 {
			t.Errorf("%s holds markup that was typed: …%s…", address, a.body[max(0, at-100):min(len(a.body), at+60)])
		}
		escaped += strings.Count(a.body, "&lt;img src=x")
	}
	s.walk(s.owner, look)
	for _, path := range []string{
		"/b/" + url.PathEscape(evil), "/l/" + url.PathEscape(evil), "/l/" + url.PathEscape(evil) + "/names", "/v/EVIL%201/names", "/v/EVIL%201/bottling", "/v/EVIL%202/ready", "/people",
		"/review/flow?of=vessel:EVIL+1", "/book/statement?from=2024-12-01&to=2026-11-24", "/bench/plan?volume_l=2&strength_pct=46&water=1&use=EVIL+1&use=EVIL+2",
		"/vessels?find=" + url.QueryEscape(evil), "/book?about=" + url.QueryEscape(evil), "/labels/sheet?layout=roll-62&as=svg&code=EVIL+1", "/v/" + url.PathEscape(evil), "/find?code=" + url.QueryEscape(evil),
		"/sign-in?next=" + url.QueryEscape("/"+evil), "/?on=" + url.QueryEscape(evil), "/review?from=" + url.QueryEscape(evil), "/bench?volume_l=" + url.QueryEscape(evil),
	} {
		look(path, s.get(path, "Cookie", s.owner))
	}
	if escaped < 100 {
		t.Errorf("only %d texts are shown escaped: the walk misses them", escaped)
	}
}
