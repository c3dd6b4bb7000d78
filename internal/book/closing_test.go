package book_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

func (h *house) closes(p book.Period, vessels ...string) cellar.Entry {
	h.t.Helper()
	e, err := h.ClosePeriod("", "keeper", p, vessels, "")
	h.must(err)
	return e
}

// A year of the demo closes; a late entry comes; the closed statement stays as
// it was, and the next opens with it and shows the difference. Taken back, the
// closing is no more, and the year shows what is known now.
func TestAYearOfTheDemoClosesAndReopens(t *testing.T) {
	h := demoHouse(t)
	year := book.Period{From: cellar.Date(2024, 1, 1), To: cellar.Date(2024, 12, 31)}
	next := book.Period{From: cellar.Date(2025, 1, 1), To: cellar.Date(2025, 12, 31)}
	open := h.statement(year)
	closing := h.closes(year)
	if s := h.statement(year); s.Closed != closing.Seq || s.Since != nil || !sameFigures(s.Sections, open.Sections) {
		t.Fatalf("closed, the year is %+v", s)
	}
	if s := h.statement(next); !section(s, "vessels").Line("adjustment").IsZero() {
		t.Errorf("an adjustment though nothing came: %+v", section(s, "vessels").Lines)
	}
	code := someFilled(h, "2024-10-01", "2025-02-01")
	late := h.does("2024-12-01", cellar.Request{Entry: "draw", Vessel: code, VolumeL: ptr(0.25), StrengthPct: ptr(50.0)})
	s := h.statement(year)
	if !sameFigures(s.Sections, open.Sections) || s.Since == nil || len(s.Late) != 1 || s.Late[0] != late.Seq {
		t.Errorf("after a late entry the closed year is %+v", s)
	}
	after := h.statement(next)
	addsUp(t, after)
	vessels := section(after, "vessels")
	if got, want := vessels.Line("opening"), section(open, "vessels").Line("closing"); got != want {
		t.Errorf("the next year opens with %v, the closing was %v", got, want)
	}
	adjustment := vessels.Line("adjustment")
	if got := float64(adjustment.PureAlcohol()); got > 0.0001 || got < -0.13 {
		t.Errorf("the adjustment is %.4f L", got)
	}
	if adjustment.IsZero() || len(after.Late) != 1 {
		t.Errorf("the adjustment is %v by entries %v", adjustment, after.Late)
	}
	if _, err := h.Reopen("keeper", next, nil, "?"); cellar.KindOf(err) != cellar.NotFound {
		t.Errorf("a period that is not closed was opened: %v", err)
	}
	_, err := h.Reopen("keeper", year, nil, "too early")
	h.must(err)
	reopened := h.statement(year)
	if reopened.Closed != 0 || sameFigures(reopened.Sections, open.Sections) || !section(h.statement(next), "vessels").Line("adjustment").IsZero() {
		t.Errorf("open again, the year is %+v", reopened)
	}
}

// someFilled is a vessel that held something from one day to another without a
// full gauge between, so that a draw in that time changes what the books hold.
func someFilled(h *house, from, to string) string {
	h.t.Helper()
	p := h.period(from, to)
	found := ""
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		for _, code := range v.State.VesselCodes() {
			if quiet(v.State.Vessels[code], p) && found == "" {
				found = code
			}
		}
		return nil
	}))
	if found == "" {
		h.t.Fatalf("no vessel rests from %s to %s", from, to)
	}
	return found
}

func quiet(vessel *cellar.VesselState, p book.Period) bool {
	rests := false
	for _, e := range vessel.Events {
		switch day := e.Entry.Day(); {
		case day < p.From:
			rests = e.Book.Volume() > 5
		case day <= p.To && (e.Content != nil && e.Reading != nil || e.Emptied):
			return false
		}
	}
	return rests
}

func sameFigures(a, b []book.Section) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if len(a[i].Lines) != len(b[i].Lines) {
			return false
		}
		for j := range a[i].Lines {
			if a[i].Lines[j] != b[i].Lines[j] {
				return false
			}
		}
	}
	return true
}

// A void of something in a closed period is an adjustment too, and so it goes
// on: each closing takes the adjustments before it along.
func TestAdjustmentsAddUpOverPeriods(t *testing.T) {
	h := yearOfACask(t)
	first, second, third := h.period("2020-01-01", "2020-06-30"), h.period("2020-07-01", "2020-10-31"), h.period("2020-11-01", "2020-12-31")
	h.closes(first)
	before := section(h.statement(first), "vessels").Line("closing")
	h.does("2020-05-01", cellar.Request{Entry: "draw", Vessel: "TUN-1", VolumeL: ptr(2.0), StrengthPct: ptr(60.0)})
	opened := section(h.statement(second), "vessels")
	if opened.Line("opening") != before || opened.Line("adjustment").PureAlcohol() > -1.19 {
		t.Errorf("the second period opens with %+v", opened.Lines[:2])
	}
	h.closes(second)
	if s := section(h.statement(third), "vessels"); !s.Line("adjustment").IsZero() || s.Line("opening") != opened.Line("closing") {
		t.Errorf("the third period has the first one's adjustment again: %+v", s.Lines)
	}
	h.does("2020-03-01", cellar.Request{Entry: "draw", Vessel: "TUN-1", VolumeL: ptr(1.0), StrengthPct: ptr(60.0)})
	if s := section(h.statement(third), "vessels"); s.Line("adjustment").PureAlcohol() > -0.59 || s.Line("adjustment").PureAlcohol() < -0.61 {
		t.Errorf("the third period adjusts by %v", s.Line("adjustment"))
	}
	// One of the two vessels: what was closed for all holds for each.
	if s := section(h.statement(third, "OAK-1"), "vessels"); !s.Line("adjustment").IsZero() {
		t.Errorf("the cask is adjusted by what was drawn from the tank: %+v", s.Lines)
	}
}

func TestClosingsThatCannotBe(t *testing.T) {
	h := yearOfACask(t)
	first := h.closes(h.period("2020-01-01", "2020-06-30"))
	h.closes(h.period("2020-07-01", "2020-12-31"), "OAK-1")
	refused := func(err error, words string) {
		t.Helper()
		if err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("%v does not say %q", err, words)
		}
	}
	_, err := h.ClosePeriod("", "keeper", h.period("2020-06-30", "2020-07-31"), nil, "")
	refused(err, "closed already")
	_, err = h.ClosePeriod("", "keeper", h.period("2021-01-01", "2021-02-01"), nil, "")
	refused(err, "day after")
	_, err = h.Record(book.Submission{Who: "keeper", Request: cellar.Request{When: h.clock.now, Entry: "void", Void: first.ID}})
	refused(err, "take back entry")
	_, err = h.Record(book.Submission{Who: "keeper", Request: cellar.Request{
		When: h.period("2020-06-01", "2020-06-01").From.Time(), Entry: "draw", Vessel: "TUN-1", VolumeL: ptr(1.0), StrengthPct: ptr(60.0),
	}})
	var doubts *book.Doubts
	if !errors.As(err, &doubts) || doubts.Questions[len(doubts.Questions)-1].Code != "closed_period" {
		t.Errorf("an entry in a closed period is not asked about: %v", err)
	}
	if found, err := book.Verify(h.Journal()); err != nil || found.Problem != "" {
		t.Errorf("with two closings the check says %q (%v)", found.Problem, err)
	}
	again, err := h.ClosePeriod(first.ID, "keeper", h.period("2020-01-01", "2020-06-30"), nil, "")
	if err != nil || again.Seq != first.Seq {
		t.Errorf("sent again, the closing is entry %d (%v), was %d", again.Seq, err, first.Seq)
	}
}

// A closing from elsewhere whose figures do not add up is found by the check.
func TestTheCheckAddsClosingsUp(t *testing.T) {
	h := yearOfACask(t)
	e := h.closes(h.period("2020-01-01", "2020-12-31"))
	bent := *e.Fact.(*cellar.Close)
	bent.From, bent.To = bent.To+1, bent.To+2
	bent.Sections[1].Lines[1].Amount.EthanolMg++
	body, err := json.Marshal(&bent)
	h.must(err)
	head, err := h.Journal().Head()
	h.must(err)
	_, err = h.Journal().Append(head, journal.Draft{
		ID: "01J" + strings.Repeat("9", 23), RecordedAt: h.clock.now, HappenedAt: h.clock.now, Who: "?", Kind: "close", Body: body,
	})
	h.must(err)
	found, err := book.Verify(h.Journal())
	if err != nil || found.BadEntry != head.Seq+1 || !strings.Contains(found.Problem, "do not add up") {
		t.Errorf("the check finds %+v (%v)", found, err)
	}
}

// The cask lost 2 L and some strength in 171 days: by the gauge 1.29 L of pure
// alcohol, 0.90 of it into the wood. With a limit of 2 % a year the rest is listed.
func TestLossesAboveTheLimit(t *testing.T) {
	h := yearOfACask(t)
	year := h.period("2020-01-01", "2020-12-31")
	if s := h.statement(year); len(s.Losses) != 0 {
		t.Errorf("listed without a limit: %+v", s.Losses)
	}
	h.must(h.SetLimit("", "owner", cellar.Limit{Of: cellar.Cask, PctPerYear: 2}))
	s := h.statement(year)
	if len(s.Losses) != 1 || s.Losses[0].Vessel != "OAK-1" || s.Losses[0].Days != 171 {
		t.Fatalf("listed are %+v", s.Losses)
	}
	l := s.Losses[0]
	vessels := section(s, "vessels")
	if got, want := l.LostL, -float64(vessels.Line("evaporation").PureAlcohol()); got < want-1e-6 || got > want+1e-6 {
		t.Errorf("lost %.4f L, evaporated %.4f", got, want)
	}
	if want := 28.8 * 171 / 365.25 * 0.02; l.AllowedL < want-1e-3 || l.AllowedL > want+1e-3 {
		t.Errorf("allowed is %.4f L, want %.4f", l.AllowedL, want)
	}
	h.must(h.ExplainLoss("", "owner", cellar.Explain{Vessel: "oak-1", From: year.From, To: year.To, Words: "dry summer under the tiles"}))
	if got := h.statement(year).Losses[0].Said; len(got) != 1 || got[0].Words != "dry summer under the tiles" {
		t.Errorf("said of it: %+v", got)
	}
	h.must(h.SetLimit("", "owner", cellar.Limit{Of: cellar.Cask, PctPerYear: 30}))
	if got := h.statement(year).Losses; len(got) != 0 {
		t.Errorf("below the limit and listed: %+v", got)
	}
	if err := h.ExplainLoss("", "owner", cellar.Explain{Vessel: "OAK-1", From: year.From, To: year.To}); err == nil {
		t.Error("an explanation without words was taken")
	}
}

func TestPeriodsBeforeAndAfter(t *testing.T) {
	h := newHouse(t)
	for _, c := range []struct{ from, to, before, until, after, end string }{
		{"2024-01-01", "2024-12-31", "2023-01-01", "2023-12-31", "2025-01-01", "2025-12-31"},
		{"2024-02-01", "2024-02-29", "2024-01-01", "2024-01-31", "2024-03-01", "2024-03-31"},
		{"2024-01-01", "2024-03-31", "2023-10-01", "2023-12-31", "2024-04-01", "2024-06-30"},
		{"2024-03-10", "2024-03-16", "2024-03-03", "2024-03-09", "2024-03-17", "2024-03-23"},
		{"2024-03-10", "2024-03-10", "2024-03-09", "2024-03-09", "2024-03-11", "2024-03-11"},
	} {
		p := h.period(c.from, c.to)
		if got, want := p.Before(), h.period(c.before, c.until); got != want {
			t.Errorf("before %s to %s comes %s to %s", c.from, c.to, got.From, got.To)
		}
		if got, want := p.After(), h.period(c.after, c.end); got != want {
			t.Errorf("after %s to %s comes %s to %s", c.from, c.to, got.From, got.To)
		}
	}
}
