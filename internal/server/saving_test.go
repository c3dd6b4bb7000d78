package server_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
)

var hiddenID = regexp.MustCompile(`name="id" value="([0-9A-Z]{26})"`)

// formID opens a form and returns the ID that it would send.
func (h house) formID(address string) string {
	h.t.Helper()
	match := hiddenID.FindStringSubmatch(h.get(address).body)
	if match == nil {
		h.t.Fatalf("%s has no ID", address)
	}
	return match[1]
}

// count is the number of entries.
func (h house) count() uint64 {
	h.t.Helper()
	head, err := h.kept.Head()
	must(h.t, err)
	return head.Seq
}

// TestSentTwiceIsSavedOnce sends each form twice, as a phone with a weak signal does.
func TestSentTwiceIsSavedOnce(t *testing.T) {
	for _, form := range []struct {
		address string
		fields  []string
		entries uint64
	}{
		{"/v/RYE-1/log/sample", []string{"strength", "61.8", "scale", "vol", "temp_c", "18"}, 1},
		{"/v/RYE-1/log/draw", []string{"volume_l", "0.5"}, 1},
		{"/v/SPARE-1/log/fill", []string{"from", "R1", "volume_l", "10", "strength", "63", "scale", "corrected"}, 1},
		{"/v/RYE-1/log/note", []string{"note", "The hoop was driven."}, 1},
		{"/places", []string{"place", "Loft", "temp_c", "12"}, 1},
		{"/vessels/new", []string{"kind", "cask", "capacity_l", "50", "place", "Lower store"}, 1},
		{"/vessels/new", []string{"kind", "jar", "capacity_l", "5", "place", "A new place"}, 2}, // the place too
		{"/spirits/new", []string{"batch", "R2", "made_on", "2026-11-01", "volume_l", "50", "strength_pct", "64"}, 1},
		{"/bench/record", []string{"into", spare, "from_0", rye, "volume_l_0", "4", "strength_pct_0", "62", "water_kg", "1"}, 1},
	} {
		t.Run(form.address+" "+form.fields[1], func(t *testing.T) {
			h := smallHouse(t)
			id := "01KAYQ5W0000000000000000AB"
			if form.address != "/bench/record" {
				id = h.formID(form.address)
			}
			before := h.count()
			fields := append([]string{"id", id, "sure", "1"}, form.fields...)
			first, second := h.post(form.address, fields), h.post(form.address, fields)
			if first.status != http.StatusSeeOther || second.status != http.StatusSeeOther {
				t.Fatalf("status %d and %d: %s%s", first.status, second.status, problemOf(first), problemOf(second))
			}
			if a, b := first.header.Get("Location"), second.header.Get("Location"); a != b {
				t.Errorf("the first leads to %s, the second to %s", a, b)
			}
			if got := h.count() - before; got != form.entries {
				t.Errorf("%d entries were written, want %d", got, form.entries)
			}
			if a := h.get(first.header.Get("Location")); a.status != http.StatusOK || !strings.Contains(a.body, `role="status"`) {
				t.Errorf("the page that follows: status %d", a.status)
			}
		})
	}
}

// TestAnIDOfAnotherEntry is refused: it would hide what was written.
func TestAnIDOfAnotherEntry(t *testing.T) {
	h := smallHouse(t)
	id := h.formID("/v/RYE-1/log/draw")
	h.post("/v/RYE-1/log/draw", []string{"id", id, "volume_l", "0.5"})
	a := h.unchanged("reuse", func() answer {
		return h.post("/v/OAT-1/log/draw", []string{"id", id, "volume_l", "0.2"})
	})
	if a.status != http.StatusConflict || !a.says("another entry has this ID") {
		t.Errorf("status %d: %s", a.status, problemOf(a))
	}
	a = h.unchanged("no ULID", func() answer {
		return h.post("/v/OAT-1/log/draw", []string{"id", "mine", "volume_l", "0.2"})
	})
	if a.status != unprocessable || !a.says("a ULID has 26") {
		t.Errorf("an ID that is no ULID: status %d: %s", a.status, problemOf(a))
	}
}

func TestDoubtsAreAsked(t *testing.T) {
	h := smallHouse(t)
	id := h.formID("/v/RYE-1/log/sample")
	unlikely := []string{"id", id, "strength", "70.5", "scale", "corrected", "nose", "pears"}
	a := h.unchanged("doubts", func() answer { return h.post("/v/RYE-1/log/sample", unlikely) })
	if a.status != unprocessable || !a.says("Please look again.") || !strings.Contains(a.body, `name="sure"`) {
		t.Fatalf("status %d: %s", a.status, problemOf(a))
	}
	if !strings.Contains(a.body, `value="70.5"`) || !strings.Contains(a.body, `value="`+id+`"`) || !strings.Contains(a.body, `value="pears"`) {
		t.Error("the form does not come back as it was typed, with its ID")
	}
	before := h.count()
	if a := h.post("/v/RYE-1/log/sample", append(unlikely, "sure", "1")); a.status != http.StatusSeeOther || h.count() != before+1 {
		t.Errorf("with sure: status %d, %d entries more", a.status, h.count()-before)
	}
	if a := h.get("/v/RYE-1"); !a.says("70.5") || !a.says("pears") {
		t.Error("the history does not show it")
	}
}

func TestTakingBack(t *testing.T) {
	h := smallHouse(t)
	before := h.get("/api/stock").body
	e := h.record(cellar.Request{When: today, Entry: "draw", Vessel: rye, VolumeL: number(5)})
	if a := h.get("/api/stock"); a.body == before {
		t.Fatal("the draw changed nothing")
	}
	a := h.post("/book/"+e.ID+"/void", []string{"reason", "it was the other <cask>"})
	if a.status != http.StatusSeeOther || a.header.Get("Location") != "/book/"+e.ID+"?done=voided" {
		t.Fatalf("status %d, to %q", a.status, a.header.Get("Location"))
	}
	if after := h.get("/api/stock").body; after != before {
		t.Errorf("the stock is not as it was: %s", after)
	}
	page := h.get("/book/" + e.ID + "?done=voided")
	if !page.says("Taken back by entry") || strings.Contains(page.body, `/void"`) {
		t.Error("the page does not say that it was taken back, or offers it again")
	}
	again := h.unchanged("a second void", func() answer { return h.post("/book/"+e.ID+"/void", []string{"reason", "again"}) })
	if again.status != http.StatusConflict || !again.says("has taken it back already") {
		t.Errorf("a second void: status %d: %s", again.status, problemOf(again))
	}
}

// TestVoidThatCannotBe takes back the fill of a vessel that was drawn from.
func TestVoidThatCannotBe(t *testing.T) {
	h := smallHouse(t)
	fill := h.record(cellar.Request{When: today.AddDate(0, 0, -2), Entry: "fill", Vessel: spare, From: "R1", VolumeL: number(10), StrengthPct: number(63)})
	h.record(cellar.Request{When: today.AddDate(0, 0, -1), Entry: "draw", Vessel: spare, VolumeL: number(1)})
	a := h.unchanged("void", func() answer { return h.post("/book/"+fill.ID+"/void", []string{"reason", "never filled"}) })
	if a.status != unprocessable || !a.says("Not taken back.") || !a.says("never filled") {
		t.Errorf("status %d: %s", a.status, problemOf(a))
	}
}

// TestNamesAreEscaped gives everything that can be named a name in HTML.
func TestNamesAreEscaped(t *testing.T) {
	h := smallHouse(t)
	const evil = `<img src=x onerror="alert(1)">&amp;'`
	saved := func(address string, fields ...string) {
		t.Helper()
		if a := h.post(address, fields); a.status != http.StatusSeeOther {
			t.Fatalf("%s: status %d: %s", address, a.status, problemOf(a))
		}
	}
	saved("/places", "place", evil)
	saved("/vessels/new", "code", "EVIL-1", "kind", "cask", "capacity_l", "50", "wood", evil, "place", evil, "maker_code", evil, "note", evil)
	saved("/spirits/new", "batch", evil, "made_on", "2026-01-01", "volume_l", "50", "strength_pct", "60", "yeast", evil, "note", evil)
	saved("/v/EVIL-1/log/fill", "from", "batch:"+evil, "volume_l", "40", "strength", "60", "scale", "corrected", "note", evil)
	saved("/v/EVIL-1/log/sample", "nose", evil, "palate", evil, "colour", evil, "note", evil)
	saved("/v/EVIL-1/log/bottle", "lot", evil, "size_l_0", "0.5", "bottles_0", "4", "sure", "1")
	for _, address := range []string{"/", "/vessels", "/v/EVIL-1", "/v/EVIL-1/edit", "/v/EVIL-1/log/fill", "/v/EVIL-1/log/move", "/places", "/spirits", "/book", "/bench", "/labels"} {
		a := h.get(address)
		if a.status != http.StatusOK {
			t.Errorf("%s: status %d", address, a.status)
		}
		if strings.Contains(a.body, "<img") {
			t.Errorf("%s has the name unescaped", address)
		}
	}
	for _, link := range regexp.MustCompile(`href="(/[bl]/[^"]+)"`).FindAllStringSubmatch(h.get("/spirits").body, -1) {
		address := strings.NewReplacer("&amp;", "&", "&#39;", "'").Replace(link[1])
		if a := h.get(address); a.status != http.StatusOK || strings.Contains(a.body, "<img") {
			t.Errorf("%s: status %d, or the name unescaped", address, a.status)
		}
	}
}
