package roundsjourney

import (
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/walk"
)

// waiting is how many entries wait on the phone.
const waiting = `outbox.all().then(items => items.length)`

// TestSamplesWithoutASignal walks a round while the program is stopped, closes
// the page, and comes back when it runs again: each sample is one entry.
func TestSamplesWithoutASignal(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone()
	round := p.walks(3)
	p.tap(`a.primary`)
	p.Becomes(`location.pathname === "/v/` + s.vessels[0] + `/log/sample" && ` + ready)
	s.Stop()

	p.write("#strength", "61.4")
	p.write("#temp_c", "12.5")
	p.Becomes(`document.querySelector(".preview").textContent.includes("No signal")`)
	p.tap(".save .primary")
	p.Becomes(`location.pathname === "/v/` + s.vessels[1] + `/log/sample"`)
	p.Becomes(`document.querySelector("main .done")?.textContent.includes("Kept on this device")`)

	p.open("/v/" + s.vessels[1] + "/log/sample?round=" + round) // loaded again, from the phone itself
	p.Becomes(`document.getElementById("waiting").textContent.includes("1 entry waits") && ` + ready)
	p.write("#strength", "61.0")
	p.write("#temp_c", "12.5")
	p.write("#nose", "pear")
	p.tap(".save .primary")
	p.Becomes(`location.pathname === "/v/` + s.vessels[2] + `/log/sample"`)

	p.open("/outbox")
	p.Becomes(`document.querySelectorAll("#entries li").length === 2`)
	p.Says("#entries li:first-child", s.vessels[0])
	p.open("/rounds/" + round)
	p.Becomes(`document.querySelectorAll(".stops .waits").length === 2`)
	p.open("/v/NOT-KEPT")
	p.Becomes(`document.querySelector("h1").textContent === "No signal"`)
	kept := walk.Ask[[]map[string]any](p, `outbox.all()`)
	p = p.another()

	s.Again()
	if got := len(s.entries("sample")); got != 0 {
		t.Fatalf("%d samples are in the book before there is a signal", got)
	}
	p.open("/rounds/" + round)
	p.Becomes(`document.getElementById("waiting").hidden === true && document.querySelector("main").textContent.includes("left")`)
	p.becomesZero(t)
	s.holds(t, kept)

	// The answers were lost, say: they are sent once more, and count once.
	walk.Ask[bool](p, `Promise.all(`+jsonOf(t, kept)+`.map(item => outbox.put(item))).then(() => carry.sendWaiting()).then(() => true)`)
	p.becomesZero(t)
	p.open("/rounds/" + round)
	s.holds(t, kept)
	p.Becomes(`document.querySelectorAll(".stop-done").length === 2`)
}

// becomesZero waits until nothing waits any more.
func (p *phone) becomesZero(t *testing.T) {
	t.Helper()
	deadline := time.Now().Add(walk.Longest)
	for walk.Ask[int](p, waiting) > 0 {
		if time.Now().After(deadline) {
			t.Fatalf("still waiting: %s", p.Seen())
		}
		walk.Ask[bool](p, `carry.sendWaiting().then(() => true)`)
	}
}

// holds expects exactly the samples that were kept, in their order.
func (s *store) holds(t *testing.T, kept []map[string]any) {
	t.Helper()
	samples := s.entries("sample")
	if len(samples) != len(kept) {
		t.Fatalf("%d samples are in the book, want %d", len(samples), len(kept))
	}
	for i, item := range kept {
		if samples[i].ID != item["id"] {
			t.Errorf("sample %d has the ID %s, and was kept as %v", i, samples[i].ID, item["id"])
		}
	}
}

// TestTwoPeopleAtOnce empties a vessel while another person samples it without
// a signal. What the phone has is kept with the reason, over a reload, until
// that person decides.
func TestTwoPeopleAtOnce(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone()
	round := p.walks(3)
	s.Stop()
	now := time.Now()
	for i, strength := range []string{"61.4", "80"} { // the second is a slip
		p.open("/v/" + s.vessels[i] + "/log/sample?round=" + round)
		p.Becomes(ready)
		p.choose("#scale", "corrected")
		p.write("#strength", strength)
		p.tap(".save .primary")
		p.Becomes(`location.pathname !== "/v/` + s.vessels[i] + `/log/sample"`)
	}
	s.Again()
	s.does(map[string]any{"entry": "empty", "vessel": s.vessels[0], "when": now.Add(-time.Hour).Format(time.RFC3339), "note": "for the spring lot"})

	p.open("/outbox")
	p.Becomes(`document.querySelectorAll("#entries .problem").length === 2`)
	p.Says("#entries li:first-child .problem", "it is empty")
	p.Says("#entries li:nth-child(2) .problem", "stronger than what went in")
	p.open("/outbox")
	p.Becomes(`document.querySelectorAll("#entries .problem").length === 2`)
	if got := len(s.entries("sample")); got != 0 {
		t.Fatalf("%d samples were saved", got)
	}

	// The first was taken before the vessel was emptied: the time is put right.
	p.tap("#entries li:first-child details summary")
	p.choose(`#entries li:first-child input[name="when"]`, now.Add(-2*time.Hour).Format("2006-01-02T15:04"))
	p.tap("#entries li:first-child form button:not([type])")
	p.Becomes(`document.querySelectorAll("#entries li").length === 1`)
	// The second is thrown away, which takes two taps.
	p.tap("#entries .quiet")
	p.Becomes(`document.querySelectorAll("#entries li").length === 1`)
	p.tap("#entries .danger")
	p.Becomes(`document.querySelectorAll("#entries li").length === 0`)
	samples := s.entries("sample")
	if len(samples) != 1 || samples[0].Body.Vessel != s.vessels[0] {
		t.Errorf("the book has %+v", samples)
	}
	if !strings.HasPrefix(walk.Ask[string](p, `document.getElementById("nothing").textContent`), "Nothing waits") {
		t.Error("the page does not say that nothing waits")
	}
}

// TestSignInHasEndedMeanwhile sets a password while the phone has no signal:
// what waits stays, the page says why, and it goes up after signing in.
func TestSignInHasEndedMeanwhile(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone()
	round := p.walks(3)
	s.Stop()
	p.open("/v/" + s.vessels[0] + "/log/sample?round=" + round)
	p.Becomes(ready)
	p.choose("#scale", "corrected")
	p.write("#strength", "61.4")
	p.tap(".save .primary")
	p.Becomes(`location.pathname === "/v/` + s.vessels[1] + `/log/sample"`)
	const password = "a dry cellar in autumn"
	s.setPassword(password)
	s.Again()
	p.open("/outbox")
	p.Becomes(`document.querySelector('#waiting a[href^="/sign-in"]') !== null`)
	if got := walk.Ask[int](p, waiting); got != 1 {
		t.Fatalf("%d entries wait", got)
	}
	p.tap(`#waiting a[href^="/sign-in"]`)
	p.Becomes(`location.pathname === "/sign-in" && document.querySelector('input[name="password"]') !== null`)
	p.write(`input[name="password"]`, password)
	p.tap("main form button")
	p.Becomes(`location.pathname === "/outbox" && document.getElementById("nothing").hidden === false`)
	if got := walk.Ask[string](p, `fetch("/api/rounds/`+round+`").then(r => r.json()).then(sheet => sheet.stops[0].status)`); got != "done" {
		t.Errorf("the vessel is %s", got)
	}
}
