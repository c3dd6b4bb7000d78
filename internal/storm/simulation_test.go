package storm

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/journal"
	"example.org/croze/internal/tidy/leaks"
)

// world is a book, its journal and the phones that write to it, all moved on by
// one random source.
type world struct {
	t       *testing.T
	random  *rand.Rand
	journal *faulty
	book    *book.Book
	now     time.Time
	ids     int
	phones  [4]phone
	done    map[string]uint64 // entries that were acknowledged, with their numbers
	counts  map[string]int
}

// phone keeps what it has no answer to yet.
type phone struct {
	made    int
	pending []book.Submission
	saved   []book.Submission
}

func newWorld(t *testing.T, seed uint64) *world {
	w := &world{t: t, random: rand.New(rand.NewPCG(seed, 8)), now: start, done: make(map[string]uint64), counts: make(map[string]int)}
	w.journal = newFaulty(w.random, w.another)
	w.open()
	furnish(t, w.book)
	w.journal.on = true
	return w
}

// open starts the program again on what the journal holds.
func (w *world) open() {
	var err error
	w.book, err = book.Open(w.journal, book.Edge{Now: func() time.Time { return w.now }, NewID: func(time.Time) string { return w.newID() }})
	must(w.t, err)
}

func (w *world) newID() string {
	w.ids++
	return idOf(80, w.ids)
}

// another writes past the book, as a second program that has the journal would.
func (w *world) another(j *journal.Memory) {
	head, err := j.Head()
	must(w.t, err)
	body, err := json.Marshal(&cellar.Note{About: cellar.VesselAccount(tanks[0]), Note: "looked at by lamplight"})
	must(w.t, err)
	_, err = j.Append(head, journal.Draft{ID: w.newID(), RecordedAt: w.now, HappenedAt: w.now, Who: "another", Kind: "note", Body: body})
	must(w.t, err)
}

// step lets one thing happen.
func (w *world) step() {
	p := &w.phones[w.random.IntN(len(w.phones))]
	switch roll := w.random.IntN(100); {
	case roll < 55:
		w.sends(p, w.thinksOf(p))
	case roll < 80 && len(p.pending) > 0:
		w.sends(p, p.pending[w.random.IntN(len(p.pending))])
	case roll < 88 && len(p.saved) > 0: // a form that was sent already, sent again
		w.sends(p, p.saved[w.random.IntN(len(p.saved))])
	case roll < 92:
		w.counts["restarts"]++
		w.book.Wait()
		w.open()
	case roll < 95:
		w.now = w.now.Add(-time.Duration(w.random.IntN(600)) * time.Second) // the clock is set back
	default:
		w.now = w.now.Add(time.Duration(w.random.IntN(3600)) * time.Second)
	}
	w.now = w.now.Add(time.Second)
}

// thinksOf makes a submission: mostly a draw, and sometimes one that takes back.
func (w *world) thinksOf(p *phone) book.Submission {
	client := 0
	for i := range w.phones {
		if p == &w.phones[i] {
			client = i + 1
		}
	}
	p.made++
	id, who := idOf(client, p.made), fmt.Sprint("hand ", client)
	s := draw(id, who, tanks[w.random.IntN(len(tanks))], w.now.Add(-time.Duration(w.random.IntN(90))*time.Minute), 1+w.random.IntN(20))
	if len(p.saved) > 0 && w.random.IntN(6) == 0 {
		s = takeBack(id, who, p.saved[w.random.IntN(len(p.saved))].ID, w.now)
	}
	p.pending = append(p.pending, s)
	return s
}

// sends gives a submission to the book and holds the answer to the model.
func (w *world) sends(p *phone, s book.Submission) {
	e, err := w.book.Record(s)
	seq, before := w.done[s.ID]
	switch kind := cellar.KindOf(err); {
	case err == nil && e.ID != s.ID:
		w.t.Fatalf("%s was answered with the entry %s", s.ID, e.ID)
	case err == nil && before && e.Seq != seq:
		w.t.Fatalf("%s was entry %d and now is %d", s.ID, seq, e.Seq)
	case err == nil:
		w.done[s.ID] = e.Seq
		p.settle(s, true)
	case kind == cellar.Conflict && s.Request.Void == "":
		w.counts["asked to try again"]++
	case (kind == cellar.Conflict || kind == cellar.Refused) && !before:
		w.counts["refused"]++ // taken back already, or by somebody else a moment ago
	case kind == cellar.Invalid && s.Request.When.After(w.now):
		w.counts["too early"]++ // the clock was set back since it was written
	case kind == "":
		w.counts["failed"]++
	default:
		w.t.Fatalf("%s: %v", s.ID, err)
	}
}

// settle moves a submission from what is pending to what is saved.
func (p *phone) settle(s book.Submission, keep bool) {
	for i, one := range p.pending {
		if one.ID == s.ID {
			p.pending = append(p.pending[:i], p.pending[i+1:]...)
			if keep && s.Request.Entry == "draw" {
				p.saved = append(p.saved, s)
			}
			return
		}
	}
}

// quiet ends the faults and lets every phone send what it still has.
func (w *world) quiet() {
	w.journal.on = false
	w.now = w.now.AddDate(0, 0, 7)
	for i := range w.phones {
		p := &w.phones[i]
		for _, s := range append([]book.Submission{}, p.pending...) {
			for range 2 { // once more after a conflict, by which the book has caught up
				w.sends(p, s)
			}
			if _, saved := w.done[s.ID]; !saved && s.Request.Entry == "draw" {
				w.t.Errorf("%s is not saved, although nothing fails any more", s.ID)
			}
		}
	}
}

// check holds the journal and the book to what was acknowledged.
func (w *world) check() {
	w.t.Helper()
	sound(w.t, w.journal)
	there := make(map[string]uint64)
	must(w.t, w.journal.Memory.Read(1, func(e journal.Entry) error {
		if old := there[e.ID]; old != 0 {
			w.t.Errorf("%s is entry %d and %d", e.ID, old, e.Seq)
		}
		there[e.ID] = e.Seq
		return nil
	}))
	for id, seq := range w.done {
		if there[id] != seq {
			w.t.Errorf("%s was acknowledged as entry %d and is %d", id, seq, there[id])
		}
	}
	must(w.t, w.book.Glance(book.Moment{}, func(v *book.View) error {
		w.sameAsReplayed(v)
		return nil
	}))
	w.book.Wait()
}

// sameAsReplayed compares what the book worked out step by step with a fold of
// what the journal holds.
func (w *world) sameAsReplayed(v *book.View) {
	fresh, err := book.Open(w.journal.Memory, book.Edge{Now: func() time.Time { return w.now }})
	must(w.t, err)
	must(w.t, fresh.Glance(book.Moment{}, func(f *book.View) error {
		if v.Head != f.Head || len(v.Entries) != len(f.Entries) {
			w.t.Errorf("the book is at entry %d, the journal at %d", v.Head, f.Head)
		}
		for _, a := range f.State.Accounts() {
			if v.State.Balance(a) != f.State.Balance(a) {
				w.t.Errorf("%s: %+v, replayed %+v", a, v.State.Balance(a), f.State.Balance(a))
			}
		}
		return nil
	}))
	fresh.Wait()
}

// run plays a whole story and returns the journal's head, which stands for all of it.
func run(t *testing.T, seed uint64, steps int) (*world, journal.Head) {
	w := newWorld(t, seed)
	for range steps {
		w.step()
		if t.Failed() {
			break
		}
	}
	w.quiet()
	w.check()
	head, err := w.journal.Memory.Head()
	must(t, err)
	return w, head
}

// TestSimulation: whatever fails, what was acknowledged is in the journal, once,
// and the book shows what the journal holds.
func TestSimulation(t *testing.T) {
	leaks.None(t)
	seed := seedOfRun(t)
	counts, faults := make(map[string]int), make(map[string]int)
	for i := range 12 * longRun() {
		w, _ := run(t, seed+uint64(i), 250)
		if t.Failed() {
			t.Fatalf("in the story of CROZE_SEED=%d", seed+uint64(i))
		}
		counts["saved"] += len(w.done)
		for what, n := range w.counts {
			counts[what] += n
		}
		for what, n := range w.journal.failed {
			faults[what] += n
		}
	}
	t.Logf("%v, faults %v", counts, faults)
	for _, fault := range []string{"not written", "another was quicker", "written, and no answer", "not read"} {
		if faults[fault] == 0 {
			t.Errorf("no fault of the kind %q happened: the story is too tame", fault)
		}
	}
}

// TestSimulationIsDeterministic: one seed is one story, to the last hash.
func TestSimulationIsDeterministic(t *testing.T) {
	seed := seedOfRun(t)
	_, first := run(t, seed, 150)
	_, again := run(t, seed, 150)
	if first != again || first.Seq < 20 {
		t.Errorf("the story ended at %v and then at %v", first, again)
	}
}
