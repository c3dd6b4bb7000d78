package server_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
)

// FuzzEntries sends a sequence of entries that are chosen field by field out of
// all that a request may hold: mostly what is right, now and then what is not.
// Whatever is sent is answered in JSON with words and never as an inner fault;
// what is refused changes nothing, what is taken is there once, and a replay of
// the journal comes to the same state.
func FuzzEntries(f *testing.F) {
	for _, seed := range sequenceSeeds() {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, choices []byte) {
		h := smallHouse(t)
		d := &dice{left: choices}
		for step := 0; step < mostSteps && len(d.left) > 0; step++ {
			h.sends(d.entry(h.written()), step)
		}
		h.sameWhenReplayed()
	})
}

// mostSteps is how many entries one input may come to.
const mostSteps = 6

// sends previews an entry and saves it, twice with one ID.
func (h house) sends(entry map[string]any, step int) {
	h.t.Helper()
	body, err := json.Marshal(entry)
	must(h.t, err)
	h.answered(h.unchanged("a preview of "+string(body), func() answer { return h.postJSON("/api/preview", string(body)) }), body)
	before := h.head()
	entry["id"] = fmt.Sprintf("01KAYQ5W0000000000000FZZ%02d", step)
	body, err = json.Marshal(entry)
	must(h.t, err)
	first := h.postJSON("/api/entries", string(body))
	h.answered(first, body)
	after := h.head()
	if saved := first.status == http.StatusCreated; saved == (before == after) {
		h.t.Fatalf("status %d, and the journal went from %s to %s: %s", first.status, before, after, body)
	}
	again := h.postJSON("/api/entries", string(body))
	if h.head() != after || again.status != first.status || again.body != first.body {
		h.t.Fatalf("sent again: status %d after %d, head %s after %s: %s\n%s\n%s", again.status, first.status, h.head(), after, body, first.body, again.body)
	}
}

// answered holds an answer to being JSON that says what was wrong, if anything was.
func (h house) answered(a answer, body []byte) {
	h.t.Helper()
	var said struct {
		Error, Kind, Text string
		Questions         []cellar.Question
	}
	err := json.Unmarshal([]byte(a.body), &said)
	switch {
	case err != nil || a.status >= http.StatusInternalServerError:
		h.t.Fatalf("status %d: %s: %s", a.status, a.body, body)
	case a.status < 300 && said.Text == "" && !strings.Contains(a.body, `"fact"`):
		h.t.Fatalf("status %d without words: %s: %s", a.status, a.body, body)
	case a.status >= 400 && len(said.Questions) == 0 && (said.Error == "" || said.Kind == "" || goWords.MatchString(said.Error)):
		h.t.Fatalf("status %d, badly explained: %s: %s", a.status, a.body, body)
	}
}

// written lists the IDs of what stands in the journal, the latest first.
func (h house) written() (ids []string) {
	must(h.t, h.kept.Read(1, func(e journal.Entry) error {
		ids = append([]string{e.ID}, ids...)
		return nil
	}))
	return ids
}

// sameWhenReplayed checks the journal and compares the book that was moved on
// entry by entry with one that reads the journal anew.
func (h house) sameWhenReplayed() {
	h.t.Helper()
	if found, err := book.Verify(h.kept); err != nil || found.Problem != "" {
		h.t.Fatalf("%v, %s", err, found.Problem)
	}
	fresh, err := book.Open(h.kept, book.Edge{Now: func() time.Time { return *h.now }, NewID: ids(3)})
	must(h.t, err)
	if moved, replayed := stateInWords(h.t, h.book), stateInWords(h.t, fresh); moved != replayed {
		h.t.Fatalf("the book came to\n%s\nand a replay to\n%s", moved, replayed)
	}
}

// stateInWords is all that a book's fold says.
func stateInWords(t testing.TB, b *book.Book) string {
	var all []any
	must(t, b.Glance(book.Moment{}, func(v *book.View) error {
		s := v.State
		all = append(all, s.Places, s.Vessels, s.Batches, s.Lots, s.Movements, s.Remarks, s.Closings, s.Limits, s.Rounds, s.Skips, s.Aims, s.Rhythm, s.Plans)
		for _, a := range s.Accounts() {
			all = append(all, a, s.Balance(a), s.ContentsOn(a, cellar.DayOf(today)), s.AgesOn(a, cellar.DayOf(today)))
		}
		return nil
	}))
	data, err := json.MarshalIndent(all, "", " ")
	must(t, err)
	b.Wait()
	return string(data)
}

// TestSequencesAreTakenAndRefused runs random sequences and sees that they are
// neither all nonsense nor all right: else the fuzzing would show nothing.
func TestSequencesAreTakenAndRefused(t *testing.T) {
	seed := rand.Uint64()
	if given := os.Getenv("CROZE_SEED"); given != "" {
		var err error
		seed, err = strconv.ParseUint(given, 10, 64)
		must(t, err)
	}
	t.Logf("CROZE_SEED=%d", seed)
	random := rand.NewChaCha8([32]byte{byte(seed), byte(seed >> 8), byte(seed >> 16), byte(seed >> 24), byte(seed >> 32), byte(seed >> 40), byte(seed >> 48), byte(seed >> 56)})
	taken, sent := make(map[string]int), 0
	for range 60 {
		choices := make([]byte, 200)
		random.Read(choices)
		h, d := smallHouse(t), &dice{left: choices}
		before := len(h.written())
		for step := range mostSteps {
			h.sends(d.entry(h.written()), step)
			sent++
		}
		h.sameWhenReplayed()
		must(t, h.kept.Read(uint64(before)+1, func(e journal.Entry) error {
			taken[e.Kind]++
			return nil
		}))
	}
	all := 0
	for _, n := range taken {
		all += n
	}
	t.Logf("of %d sent %d were taken: %v", sent, all, taken)
	if all < sent/20 || all > sent*4/5 || len(taken) < 5 {
		t.Errorf("of %d sent %d were taken, of %d kinds", sent, all, len(taken))
	}
}
