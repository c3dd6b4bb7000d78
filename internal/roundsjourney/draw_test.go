package roundsjourney

import (
	"testing"

	"example.org/croze/internal/walk"
)

// TestDrawsWithoutASignal writes a draw, a top-up and a note while the program
// is stopped: from a form that was open, and from the phone's own page. They go
// up once, in their order, and leave the round as it is.
func TestDrawsWithoutASignal(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone()
	round := p.walks(3)
	p.open("/v/" + s.vessels[0] + "/log/draw")
	p.Becomes(ready)
	s.Stop()
	p.write("#volume_l", "2.5")
	p.write("#note", "for the bench")
	p.tap(".save .primary")
	p.Becomes(`location.pathname === "/outbox" && document.querySelectorAll("#entries li").length === 1`)
	p.Says("#entries li:first-child strong", "Draw from "+s.vessels[0])

	p.open("/v/" + s.vessels[1] + "/log/top_up")
	p.Becomes(ready + ` && document.getElementById("entry").value === "top_up" && document.getElementById("vessel").value === "` + s.vessels[1] + `"`)
	if walk.Ask[bool](p, `document.getElementById("nose").checkVisibility()`) {
		t.Error("a top-up asks for a nose")
	}
	p.write("#from", s.vessels[0])
	p.write("#volume_l", "1,5")
	p.tap(".save .primary")
	p.Becomes(`location.pathname === "/outbox" && document.querySelectorAll("#entries li").length === 2`)

	p.open("/v/" + s.vessels[2] + "/log/note")
	p.Becomes(ready + ` && document.getElementById("entry").value === "note" && document.getElementById("vessel").value === "` + s.vessels[2] + `"`)
	p.write("#note", "a hoop has slipped")
	p.tap(".save .primary")
	p.Becomes(`location.pathname === "/outbox" && document.querySelectorAll("#entries li").length === 3`)
	p.open("/rounds/" + round)
	p.Becomes(`document.querySelectorAll(".stops li").length === 3`)
	if got := walk.Ask[int](p, `outbox.looks().then(items => items.length)`); got != 0 {
		t.Errorf("%d stops of the round count as looked at", got)
	}
	kept := walk.Ask[[]map[string]any](p, `outbox.all()`)

	s.Again()
	p.open("/outbox")
	p.becomesZero(t)
	for i, kind := range []string{"draw", "top_up", "note"} {
		got := s.entries(kind)
		if len(got) != 1 || got[0].ID != kept[i]["id"] {
			t.Errorf("of the kind %s the book has %+v, and %v was kept", kind, got, kept[i])
		}
	}
	if note := s.entries("note")[0].Body.Note; note != "a hoop has slipped" {
		t.Errorf("the note is %q", note)
	}
}

// TestADrawOfTooMuch is refused when it comes up, and waits with the reason.
func TestADrawOfTooMuch(t *testing.T) {
	t.Parallel()
	s := newStore(t)
	p := s.newPhone()
	p.walks(3)
	s.Stop()
	p.open("/v/" + s.vessels[0] + "/log/draw")
	p.Becomes(ready + ` && document.getElementById("entry").value === "draw"`)
	p.write("#volume_l", "80")
	p.tap(".save .primary")
	p.Becomes(`location.pathname === "/outbox"`)
	s.Again()
	p.open("/outbox")
	p.Becomes(`document.querySelectorAll("#entries .problem").length === 1`)
	if got := len(s.entries("draw")); got != 0 {
		t.Errorf("%d draws were saved", got)
	}
}
