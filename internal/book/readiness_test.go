package book_test

import (
	"math"
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

func (h *house) readiness() map[string]book.Readiness {
	h.t.Helper()
	all := make(map[string]book.Readiness)
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		for _, r := range v.Readiness() {
			all[r.Vessel] = r
		}
		return nil
	}))
	return all
}

func TestReadyNearlyPastIt(t *testing.T) {
	h := tastingHouse(t) // three casks filled on 2020-02-01, looked at on 2021-01-01: 335 days
	h.must(h.SetReady("", "keeper", "a", &cellar.Ready{AgeDays: 300, FloorPct: 40}, ""))
	h.must(h.SetReady("", "keeper", "C", &cellar.Ready{AgeDays: 400}, "for the fair"))
	h.must(h.SetReady("", "keeper", "D", &cellar.Ready{AgeDays: 100, LatestDays: 300}, ""))
	all := h.readiness()
	for code, want := range map[string]struct {
		standing book.Standing
		why      string
	}{
		"A": {book.Ready, "11 m"}, "C": {book.Nearly, "65 days to go"}, "D": {book.Past, "no older than"},
	} {
		if r := all[code]; r.Standing != want.standing || !strings.Contains(r.Why(), want.why) {
			t.Errorf("%s is %s: %s", code, r.Standing, r.Why())
		}
	}
	h.must(h.SetReady("", "keeper", "C", &cellar.Ready{AgeDays: 2000}, ""))
	h.must(h.SetReady("", "keeper", "A", &cellar.Ready{FloorPct: 65}, ""))
	h.must(h.SetReady("", "keeper", "D", nil, ""))
	all = h.readiness()
	if all["C"].Standing != book.NotYet || all["A"].Standing != book.Past || len(all) != 2 {
		t.Errorf("after changes: %+v", all)
	}
	if err := h.SetReady("", "keeper", "NONE", &cellar.Ready{}, ""); cellar.KindOf(err) != cellar.NotFound {
		t.Errorf("of nothing: %v", err)
	}
	h.vessel("E", cellar.Cask, 10)
	if err := h.SetReady("", "keeper", "E", &cellar.Ready{}, ""); cellar.KindOf(err) != cellar.Refused {
		t.Errorf("of an empty one: %v", err)
	}
}

func TestReadyByScoresAndWood(t *testing.T) {
	h := tastingHouse(t)
	for code, fruit := range map[string]int{"A": 5, "C": 2, "D": 9} {
		h.does("2020-12-01", cellar.Request{Entry: "sample", Vessel: code, Senses: &cellar.Senses{Taster: "miller", Scores: map[string]int{"fruit": fruit}}})
		h.must(h.SetReady("", "keeper", code, &cellar.Ready{Scores: []cellar.ReadyBand{{Of: "fruit", Min: 4, Max: 6}}}, ""))
	}
	all := h.readiness()
	if all["A"].Standing != book.Ready || all["C"].Standing != book.NotYet || all["D"].Standing != book.Past {
		t.Errorf("by fruit: %+v", all)
	}
	h.must(h.SetReady("", "keeper", "A", &cellar.Ready{Contact: 1}, ""))
	h.must(h.SetReady("", "keeper", "C", &cellar.Ready{Contact: 1e5}, ""))
	h.must(h.SetReady("", "keeper", "D", &cellar.Ready{MostWood: 1}, ""))
	all = h.readiness()
	if all["A"].Standing != book.Ready || all["C"].Standing != book.NotYet || all["D"].Standing != book.Past {
		t.Errorf("by wood: %+v", all)
	}
}

// What another year costs is what the forecast says, at the owner's figure.
func TestAnotherYear(t *testing.T) {
	h := tastingHouse(t)
	h.must(h.SetValue("", "keeper", cellar.Value{Of: cellar.Cask, PerL: 25}))
	h.must(h.SetReady("", "keeper", "A", &cellar.Ready{AgeDays: 100}, ""))
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		year, ahead := v.AnotherYear("A"), v.Ahead("A", 365, 365)
		if len(ahead) != 1 {
			t.Fatal("no forecast")
		}
		want := ahead[0].State.VolumeL.Mean - v.StockLine("A").VolumeL
		if math.Abs(year.VolumeL.Mean-want) > 0.02 || want >= 0 || math.Abs(year.Value-25*year.VolumeL.Mean) > 1e-9 || !year.Valued {
			t.Errorf("another year is %+v, the forecast %.3f L", year, want)
		}
		said := ""
		for _, task := range v.Today() {
			if task.Kind == book.TaskReady && task.Vessel == "A" {
				said = task.Reason
			}
		}
		if !strings.Contains(said, "another year costs") {
			t.Errorf("Today says %q", said)
		}
		return nil
	}))
}
