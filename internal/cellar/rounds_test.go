package cellar

import (
	"testing"
	"time"
)

func TestRoundFacts(t *testing.T) {
	s := filledCask(t)
	s.record(&Round{Name: "west row", Stops: []RoundStop{{"A", "due"}, {"B", ""}}})
	round := s.entries[len(s.entries)-1].ID
	s.record(&RoundSkip{Round: round, Vessel: "B", Reason: "behind a ladder"})
	s.record(&Rhythm{Of: Cask, Days: 90})
	s.record(&Rhythm{Of: Cask, Days: 60})
	s.record(&Aim{Vessel: "A", On: mustDay(t, "2024-05-01"), Words: "at two years"})
	state := s.fold()
	if len(state.Rounds) != 1 || state.Rounds[0].Stops[0].Reason != "due" || state.Rounds[0].Entry.ID != round {
		t.Errorf("rounds: %+v", state.Rounds)
	}
	if len(state.Skips) != 1 || state.Skips[0].Reason != "behind a ladder" {
		t.Errorf("skips: %+v", state.Skips)
	}
	if state.Rhythm[Cask] != 60 {
		t.Errorf("the last word on the rhythm is %d days, want 60", state.Rhythm[Cask])
	}
	if len(state.Aims) != 1 || state.Aims[0].On.String() != "2024-05-01" {
		t.Errorf("aims: %+v", state.Aims)
	}
	events := state.Vessels["A"].Events
	if last := events[len(events)-1].Entry.Fact.Kind(); last != "aim" {
		t.Errorf("the last line of the history is a %s, want the aim", last)
	}
	if err := state.Check(); err != nil {
		t.Error(err)
	}
}

// Once a round is taken back, what was skipped in it must not stand in the way.
func TestARoundCanBeTakenBackAfterASkip(t *testing.T) {
	s := filledCask(t)
	s.record(&Round{Name: "west row", Stops: []RoundStop{{"A", "due"}}})
	round := s.entries[len(s.entries)-1].ID
	s.record(&RoundSkip{Round: round, Vessel: "A", Reason: "r"})
	s.record(&Void{Entry: round, Reason: "the wrong row"})
	if state := s.fold(); len(state.Rounds) != 0 || len(state.Skips) != 1 {
		t.Errorf("%d rounds and %d skips, want 0 and 1", len(state.Rounds), len(state.Skips))
	}
}

func TestRoundFactsAreRefused(t *testing.T) {
	s := filledCask(t)
	s.refuses(&Round{Stops: []RoundStop{{"A", ""}}}, "name")
	s.refuses(&Round{Name: "n"}, "stops", "choose some")
	s.refuses(&Round{Name: "n", Stops: []RoundStop{{"A", ""}, {"A", ""}}}, "named twice")
	s.refuses(&Round{Name: "n", Stops: []RoundStop{{"Q", ""}}}, "no such vessel")
	s.refuses(&Round{Name: "n", Stops: make([]RoundStop, MostStops+1)}, "1 to 200")
	s.refuses(&RoundSkip{Round: "E1", Vessel: "Q"}, "no such vessel")
	s.refuses(&Rhythm{Of: "bucket", Days: 9}, "cask, hybrid, jar or tank")
	s.refuses(&Rhythm{Of: Jar, Days: -1}, "0 (never)")
	s.refuses(&Rhythm{Of: Jar, Days: LongestRhythm + 1}, "3660")
	s.refuses(&Aim{Vessel: "Q", On: 20000}, "no such vessel")
	s.refuses(&Aim{Vessel: "A", On: mustDay(t, "2201-01-01")}, "2200")
	s.refuses(&Aim{Vessel: "A", On: 20000, For: "drinking"}, "look, bottle or ready")
	s.refuses(&Relabel{About: "vessel:Q"}, "no such vessel")
}

func TestResolvingSkipsAimsAndLabels(t *testing.T) {
	s := filledCask(t)
	s.record(&Round{Name: "west row", Stops: []RoundStop{{"A", "due"}}})
	round := s.entries[len(s.entries)-1].ID
	r := Resolver{State: s.fold(), Now: s.clock.AddDate(0, 0, 1)}
	when := s.clock.Add(time.Hour)
	resolved := func(request Request) Fact {
		t.Helper()
		request.When = when
		fact, _, err := r.Resolve(request)
		if err != nil {
			t.Fatal(err)
		}
		return fact
	}
	if f := resolved(Request{Entry: "round_skip", Vessel: "a", Round: round, Note: "r"}).(*RoundSkip); *f != (RoundSkip{round, "A", "r"}) {
		t.Errorf("the skip is %+v", f)
	}
	on := DayOf(when) + 700
	if f := resolved(Request{Entry: "aim", Vessel: "A", On: on, For: "bottle", Note: "w"}).(*Aim); *f != (Aim{Vessel: "A", On: on, For: AimBottle, Words: "w"}) {
		t.Errorf("the aim is %+v", f)
	}
	if f := resolved(Request{Entry: "relabel", Vessel: "A"}).(*Relabel); f.About != "vessel:A" {
		t.Errorf("the label is of %s", f.About)
	}
	if f := resolved(Request{Entry: "relabel", From: "rye 1"}).(*Relabel); f.About != "batch:rye 1" {
		t.Errorf("the label is of %s", f.About)
	}
	for _, c := range []struct {
		request Request
		words   []string
	}{
		{Request{Entry: "round_skip", Vessel: "A", Round: round}, []string{"note", "say why"}},
		{Request{Entry: "round_skip", Vessel: "A", Note: "r"}, []string{"round", "of which"}},
		{Request{Entry: "round_skip", Round: round, Note: "r"}, []string{"say which vessel"}},
		{Request{Entry: "aim", Vessel: "A"}, []string{"on", "which day"}},
		{Request{Entry: "aim", Vessel: "A", On: DayOf(when) - 1}, []string{"on", "past"}},
		{Request{Entry: "aim", Vessel: "A", On: on, For: "x"}, []string{"for", "look, bottle or ready"}},
		{Request{Entry: "aim", Vessel: "B", On: on}, []string{"empty"}},
		{Request{Entry: "relabel"}, []string{"whose label"}},
		{Request{Entry: "relabel", From: "lot:L9"}, []string{"no such bottling"}},
		{Request{Entry: "relabel", From: "nothing"}, []string{"nothing"}},
	} {
		c.request.When = when
		_, _, err := r.Resolve(c.request)
		wantProblem(t, err, c.words...)
	}
}

func TestPhotosAreNamedByTheirSum(t *testing.T) {
	for name, want := range map[string]bool{
		"": false, "0a": false, "../../../etc/passwd": false,
		"0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef":  true,
		"0123456789ABCDEF0123456789abcdef0123456789abcdef0123456789abcdef":  false,
		"0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcde/":  false,
		"0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef0": false,
	} {
		if got := IsPhoto(name); got != want {
			t.Errorf("IsPhoto(%q) = %v", name, got)
		}
	}
	wantProblem(t, (&Senses{Photo: "x"}).check(), "photo", "64 hexadecimal")
}
