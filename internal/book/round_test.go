package book_test

import (
	"slices"
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

// rowOfCasks has three filled casks, a tank and an empty cask in two places.
func rowOfCasks(t *testing.T) *house {
	h := newHouse(t)
	for _, code := range []string{"ROW-10", "ROW-2", "ROW-1", "SPARE"} {
		h.vessel(code, cellar.Cask, 50)
	}
	h.vessel("TUN-1", cellar.Tank, 100)
	h.batch("rye 1", "2020-01-01", 300, 60)
	for _, code := range []string{"ROW-10", "ROW-2", "ROW-1", "TUN-1"} {
		h.does("2020-01-01", cellar.Request{Entry: "fill", Vessel: code, From: "rye 1", VolumeL: ptr(48.0), StrengthPct: ptr(60.0)})
	}
	h.clock.on("2020-09-01")
	return h
}

func (h *house) due() map[string]book.DueLine {
	h.t.Helper()
	lines := make(map[string]book.DueLine)
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		for _, line := range v.Due() {
			lines[line.Vessel] = line
		}
		return nil
	}))
	return lines
}

func (h *house) round(id string) book.RoundLine {
	h.t.Helper()
	var r book.RoundLine
	h.must(h.See(book.Moment{}, func(v *book.View) (err error) {
		r, err = v.FindRound(id)
		return err
	}))
	return r
}

func TestDueIsInWalkingOrder(t *testing.T) {
	h := rowOfCasks(t)
	h.must(h.RegisterPlace("", "keeper", cellar.Place{Name: "barn 10"}))
	h.must(h.RegisterPlace("", "keeper", cellar.Place{Name: "barn 9"}))
	h.does("2020-02-01", cellar.Request{Entry: "move", Vessel: "ROW-1", Place: "barn 10"})
	h.does("2020-02-01", cellar.Request{Entry: "move", Vessel: "ROW-10", Place: "barn 9"})
	var order []string
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		for _, line := range v.Due() {
			order = append(order, line.Vessel)
		}
		return nil
	}))
	if want := []string{"ROW-10", "ROW-1", "ROW-2", "TUN-1"}; !slices.Equal(order, want) {
		t.Errorf("the way is %v, want %v", order, want)
	}
}

func TestTheOwnersRhythm(t *testing.T) {
	h := rowOfCasks(t)
	h.does("2020-08-20", cellar.Request{Entry: "sample", Vessel: "ROW-2", StrengthPct: ptr(59.5)})
	due := h.due()
	if !due["ROW-1"].Due || !strings.Contains(due["ROW-1"].Reason(), "244 days ago") {
		t.Errorf("ROW-1: %+v", due["ROW-1"])
	}
	if due["ROW-2"].Due || due["TUN-1"].Due {
		t.Errorf("looked at lately: %+v; a tank: %+v", due["ROW-2"], due["TUN-1"])
	}
	h.must(h.SetRhythm("keeper", map[cellar.VesselKind]int{cellar.Cask: 10, cellar.Tank: 200}))
	due = h.due()
	if !due["ROW-2"].Due || !due["TUN-1"].Due {
		t.Errorf("every 10 and 200 days: %+v, %+v", due["ROW-2"], due["TUN-1"])
	}
	h.must(h.SetRhythm("keeper", map[cellar.VesselKind]int{cellar.Cask: 0}))
	if due := h.due(); due["ROW-1"].Due {
		t.Errorf("never: %+v", due["ROW-1"])
	}
	head, err := h.Journal().Head()
	h.must(err)
	h.must(h.SetRhythm("keeper", map[cellar.VesselKind]int{cellar.Cask: 0}))
	if again, _ := h.Journal().Head(); again != head {
		t.Error("the same rhythm is written twice")
	}
	if err := h.SetRhythm("keeper", map[cellar.VesselKind]int{cellar.Jar: -3}); cellar.KindOf(err) != cellar.Invalid {
		t.Errorf("a rhythm below nothing: %v", err)
	}
}

func TestARoundWalked(t *testing.T) {
	h := rowOfCasks(t)
	const id = "01J00000000000000000R0VND1"
	begun, err := h.BeginRound(id, "ann", "west row", []string{"row-10", "ROW-1", "ROW-2"})
	h.must(err)
	if again, err := h.BeginRound(id, "ann", "west row", []string{"ROW-1"}); err != nil || again.Seq != begun.Seq {
		t.Errorf("sent again it is entry %d (%v), want %d", again.Seq, err, begun.Seq)
	}
	r := h.round(id)
	if r.Left != 3 || r.Stops[0].Vessel != "ROW-1" || r.Stops[2].Vessel != "ROW-10" || r.Stops[0].Reason == "" {
		t.Fatalf("begun it is %+v", r)
	}
	if next, _ := r.Next("ROW-1"); next.Vessel != "ROW-2" {
		t.Errorf("after ROW-1 comes %s", next.Vessel)
	}
	// One walks on where another stopped.
	h.does("2020-09-01", cellar.Request{Entry: "sample", Vessel: "ROW-2", StrengthPct: ptr(59.5)})
	h.does("2020-09-01", cellar.Request{Entry: "round_skip", Round: id, Vessel: "ROW-10", Note: "behind the press"})
	r = h.round(id)
	if r.Done != 1 || r.Skipped != 1 || r.Left != 1 || r.Finished() || r.Behind() != 2 {
		t.Errorf("after one and a skip: %d done, %d skipped, %d left", r.Done, r.Skipped, r.Left)
	}
	if r.Stops[1].Status != book.StopDone || r.Stops[1].Who != "keeper" || r.Stops[2].Words != "behind the press" {
		t.Errorf("the stops are %+v", r.Stops)
	}
	if next, ok := r.Next("ROW-10"); !ok || next.Vessel != "ROW-1" {
		t.Errorf("round the corner comes %s", next.Vessel)
	}
	h.does("2020-09-01", cellar.Request{Entry: "empty", Vessel: "ROW-1"})
	if r = h.round(id); !r.Finished() || r.Stops[0].Status != book.StopEmptied {
		t.Errorf("with the last emptied it is %+v", r)
	}
	if _, ok := r.Next(""); ok {
		t.Error("a finished round leads on")
	}
}

// A sample of before the round does not count, be it written up ever so late;
// one that is taken back counts no longer; a skipped vessel may be sampled all the same.
func TestWhatCountsForARound(t *testing.T) {
	h := rowOfCasks(t)
	const id = "01J00000000000000000R0VND2"
	_, err := h.BeginRound(id, "ann", "west row", []string{"ROW-1", "ROW-2"})
	h.must(err)
	h.does("2020-08-01", cellar.Request{Entry: "sample", Vessel: "ROW-1", StrengthPct: ptr(59.6)})
	if r := h.round(id); r.Done != 0 {
		t.Error("a sample of a month ago counts")
	}
	e := h.does("2020-09-01", cellar.Request{Entry: "sample", Vessel: "ROW-1", StrengthPct: ptr(59.5)})
	h.does("2020-09-01", cellar.Request{Entry: "void", Void: e.ID, Note: "slip"})
	if r := h.round(id); r.Done != 0 || r.Left != 2 {
		t.Errorf("taken back: %d done", r.Done)
	}
	h.must(h.SkipRest("ann", id, "dark"))
	h.does("2020-09-01", cellar.Request{Entry: "sample", Vessel: "ROW-1", StrengthPct: ptr(59.5)})
	if r := h.round(id); r.Done != 1 || r.Skipped != 1 {
		t.Errorf("%d done, %d skipped, want one each", r.Done, r.Skipped)
	}
}

func TestARoundIsRefused(t *testing.T) {
	h := rowOfCasks(t)
	for _, c := range []struct {
		name  string
		codes []string
		words string
	}{
		{"", []string{"ROW-1"}, "name"},
		{"west row", nil, "choose some"},
		{"west row", []string{"NONE"}, "no such vessel"},
		{"west row", []string{"SPARE"}, "empty"},
	} {
		_, err := h.BeginRound("", "ann", c.name, c.codes)
		if cellar.KindOf(err) == "" || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%q through %v: %v, want it to say %s", c.name, c.codes, err, c.words)
		}
	}
	const id = "01J00000000000000000R0VND3"
	_, err := h.BeginRound(id, "ann", "west row", []string{"ROW-1"})
	h.must(err)
	for _, skip := range []cellar.Request{{Vessel: "ROW-2", Round: id}, {Vessel: "ROW-1", Round: "01J"}, {Round: id}} {
		skip.When, skip.Entry, skip.Note = h.clock.now, "round_skip", "dark"
		if _, err := h.Record(book.Submission{Request: skip}); cellar.KindOf(err) != cellar.NotFound {
			t.Errorf("skipping %q on %q: %v", skip.Vessel, skip.Round, err)
		}
	}
	if err := h.SkipRest("ann", "01J", "r"); cellar.KindOf(err) != cellar.NotFound {
		t.Errorf("skipping the rest of no round: %v", err)
	}
}

func TestAimsAreMet(t *testing.T) {
	h := rowOfCasks(t)
	aim := func(vessel, on, purpose string) {
		day, err := cellar.ParseDay(on)
		h.must(err)
		h.does("2020-02-01", cellar.Request{Entry: "aim", Vessel: vessel, On: day, For: purpose, Note: "as planned"})
	}
	aim("ROW-1", "2020-09-01", "")
	aim("ROW-2", "2020-12-01", "bottle")
	aim("ROW-10", "2020-08-15", "")
	open := func() (codes []string) {
		h.must(h.See(book.Moment{}, func(v *book.View) error {
			for _, a := range v.Aims() {
				codes = append(codes, a.Vessel)
			}
			return nil
		}))
		return codes
	}
	if got := open(); !slices.Equal(got, []string{"ROW-10", "ROW-1", "ROW-2"}) {
		t.Errorf("open are %v", got)
	}
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		count := 0
		for _, task := range v.Today() {
			if task.Kind == book.TaskAim && strings.Contains(task.Reason, "as planned") {
				count++
			}
		}
		if count != 2 {
			t.Errorf("%d aims stand in Today, want 2", count)
		}
		return nil
	}))
	h.does("2020-08-25", cellar.Request{Entry: "sample", Vessel: "ROW-1", StrengthPct: ptr(59.5)})
	h.does("2020-07-01", cellar.Request{Entry: "sample", Vessel: "ROW-10", StrengthPct: ptr(59.5)}) // too early
	h.does("2020-08-25", cellar.Request{Entry: "sample", Vessel: "ROW-2", StrengthPct: ptr(59.5)})
	if got := open(); !slices.Equal(got, []string{"ROW-10", "ROW-2"}) {
		t.Errorf("after the samples open are %v", got)
	}
	h.does("2020-08-30", cellar.Request{Entry: "empty", Vessel: "ROW-2"})
	if got := open(); !slices.Equal(got, []string{"ROW-10"}) {
		t.Errorf("after emptying open are %v", got)
	}
}

func TestTheDiary(t *testing.T) {
	h := rowOfCasks(t)
	h.does("2020-08-20", cellar.Request{Entry: "sample", Vessel: "ROW-2", StrengthPct: ptr(59.5)})
	day, err := cellar.ParseDay("2020-10-05")
	h.must(err)
	h.does("2020-08-01", cellar.Request{Entry: "aim", Vessel: "ROW-2", On: day, For: "bottle", Note: "the autumn lot"})
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		byKey := make(map[string]book.Engagement)
		for _, e := range v.Diary(365) {
			byKey[e.Key] = e
		}
		overdue := byKey["look-ROW-1-2020-01-01"]
		if overdue.On != v.On || overdue.Since.String() != "2020-06-29" {
			t.Errorf("overdue: %+v", overdue)
		}
		if next := byKey["look-ROW-2-2020-08-20"]; next.On.String() != "2021-02-16" || next.Since != 0 {
			t.Errorf("next by the rhythm: %+v", next)
		}
		bottling := 0
		for _, e := range byKey {
			if e.Title == "Bottle ROW-2" && e.On == day && e.Words == "the autumn lot" {
				bottling++
			}
		}
		if bottling != 1 {
			t.Errorf("the bottling stands %d times in %+v", bottling, byKey)
		}
		if soon := v.Diary(0); len(soon) != 2 {
			t.Errorf("today there are %d, want the two overdue", len(soon))
		}
		return nil
	}))
}

func TestSenseWords(t *testing.T) {
	h := rowOfCasks(t)
	for _, nose := range []string{"Pear, wax", "wax; a long remark that no button could hold with any grace", "wax"} {
		h.does("2020-08-20", cellar.Request{Entry: "sample", Vessel: "ROW-2", Senses: &cellar.Senses{Nose: nose, Palate: "dry"}})
	}
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		words := v.SenseWords()
		if !slices.Equal(words.Nose, []string{"wax", "pear"}) || !slices.Equal(words.Palate, []string{"dry"}) {
			t.Errorf("the words are %+v", words)
		}
		return nil
	}))
}
