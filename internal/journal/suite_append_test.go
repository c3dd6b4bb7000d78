package journal

import (
	"encoding/json"
	"errors"
	"math/rand/v2"
	"sync"
	"testing"
	"time"
)

func suiteBody(t *testing.T, j Journal) {
	d := draft(1)
	d.Body = json.RawMessage(" { \"note\" : \"rye & <oat>, ½ full\",\n\"volume_l\": 46.20 , \"n\":[1, 2e3,12345678901234567890] } ")
	e := mustAppend(t, j, d)[0]
	want := `{"note":"rye \u0026 \u003coat\u003e, ½ full","volume_l":46.20,"n":[1,2e3,12345678901234567890]}`
	if string(e.Body) != want {
		t.Fatalf("body is %s", e.Body)
	}
	if got := asJSON(t, e.Body); string(got) != want {
		t.Fatalf("within other JSON it becomes %s", got)
	}
	wantEntries(t, mustAppend(t, j, d), []Entry{e})
}

func suiteRepeat(t *testing.T, j Journal) {
	first := mustAppend(t, j, draft(1))
	mustAppend(t, j, draft(2))
	again := draft(1)
	again.RecordedAt = again.RecordedAt.Add(time.Minute)
	for _, head := range []Head{{}, first[0].head(), {Seq: 99}} {
		entries, err := j.Append(head, again)
		if err != nil {
			t.Fatalf("a repeat at head %d: %v", head.Seq, err)
		}
		wantEntries(t, entries, first)
	}
	if got := all(t, j); len(got) != 2 {
		t.Fatalf("%d entries after repeats", len(got))
	}
}

func suiteRepeatOfSeveral(t *testing.T, j Journal) {
	want := mustAppend(t, j, drafts(0, 5)...)
	got, err := j.Append(Head{}, drafts(0, 5)...)
	if err != nil {
		t.Fatal(err)
	}
	wantEntries(t, got, want)
	if _, err := j.Append(want[4].head(), drafts(3, 7)...); !errors.Is(err, ErrDuplicate) {
		t.Fatalf("half a repeat: %v", err)
	}
	if got := all(t, j); len(got) != 5 {
		t.Fatalf("%d entries after repeats", len(got))
	}
}

func suiteDuplicate(t *testing.T, j Journal) {
	want := mustAppend(t, j, draft(1))
	changes := map[string]func(*Draft){
		"happened_at": func(d *Draft) { d.HappenedAt = d.HappenedAt.Add(1) },
		"offset":      func(d *Draft) { d.HappenedAt = d.HappenedAt.UTC() },
		"who":         func(d *Draft) { d.Who = "Hand" },
		"kind":        func(d *Draft) { d.Kind = "draw" },
		"body":        func(d *Draft) { d.Body = json.RawMessage(`{"vessel":"K8"}`) },
	}
	for field, change := range changes {
		d := draft(1)
		change(&d)
		if _, err := j.Append(want[0].head(), d); !errors.Is(err, ErrDuplicate) {
			t.Errorf("same ID, other %s: %v", field, err)
		}
	}
	wantEntries(t, all(t, j), want)
}

func suiteConflict(t *testing.T, j Journal) {
	first := mustAppend(t, j, draft(1))[0]
	second := mustAppend(t, j, draft(2))[0]
	wrongHash := second.head()
	wrongHash.Hash[0] ^= 1
	for _, head := range []Head{{}, first.head(), wrongHash, {Seq: 3}} {
		if _, err := j.Append(head, draft(3)); !errors.Is(err, ErrConflict) {
			t.Errorf("append at %v: %v", head, err)
		}
	}
	if got := all(t, j); len(got) != 2 {
		t.Fatalf("%d entries after conflicts", len(got))
	}
}

func suiteAllOrNone(t *testing.T, j Journal) {
	mustAppend(t, j, draft(1))
	head, _ := j.Head()
	bad := draft(4)
	bad.Body = json.RawMessage(`{"vessel":`)
	if _, err := j.Append(head, draft(2), draft(3), bad); !IsInvalid(err) {
		t.Fatalf("a bad third draft: %v", err)
	}
	if _, err := j.Append(head, draft(2), draft(2)); !IsInvalid(err) {
		t.Fatalf("the same ID twice: %v", err)
	}
	if now, _ := j.Head(); now != head {
		t.Fatalf("the head moved to %v", now)
	}
	if _, ok, _ := j.Find(draft(2).ID); ok {
		t.Fatal("the first draft of a refused append is there")
	}
}

// suiteConcurrent lets many append at once, each looking again when another
// was quicker, and some of them sending each draft twice.
func suiteConcurrent(t *testing.T, j Journal) {
	const writers, each = 8, 25
	var wg sync.WaitGroup
	acknowledged := make([][]Entry, writers)
	for w := range writers {
		wg.Go(func() {
			random := rand.New(rand.NewPCG(uint64(w), 1))
			for n := range each {
				d := draft(w*each + n)
				e, err := appendUntilTaken(j, d)
				if err == nil && random.IntN(3) == 0 {
					e, err = appendUntilTaken(j, d)
				}
				if err != nil {
					t.Errorf("writer %d: %v", w, err)
					return
				}
				acknowledged[w] = append(acknowledged[w], e)
			}
		})
	}
	wg.Wait()
	wantOnce(t, j, acknowledged...)
}
