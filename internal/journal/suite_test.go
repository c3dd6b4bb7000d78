package journal

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/oklog/ulid/v2"
)

// suite is what every journal must pass. It is run on each of them below.
var suite = []struct {
	name string
	run  func(*testing.T, Journal)
}{
	{"empty", suiteEmpty},
	{"fields come back", suiteFields},
	{"body is made compact once", suiteBody},
	{"repeat", suiteRepeat},
	{"repeat of several", suiteRepeatOfSeveral},
	{"same ID, other content", suiteDuplicate},
	{"other head", suiteConflict},
	{"all or none", suiteAllOrNone},
	{"limits", suiteLimits},
	{"read from", suiteReadFrom},
	{"visitor stops and appends", suiteVisitor},
	{"given entries are copies", suiteCopies},
	{"aside", suiteAside},
	{"concurrent appenders", suiteConcurrent},
	{"watch", suiteWatch},
	{"closed", suiteClosed},
}

func TestMemory(t *testing.T) {
	for _, c := range suite {
		t.Run(c.name, func(t *testing.T) {
			j := NewMemory()
			c.run(t, j)
			mustVerify(t, j)
		})
	}
}

func TestStore(t *testing.T) {
	for _, c := range suite {
		t.Run(c.name, func(t *testing.T) {
			j := newStore(t)
			c.run(t, j)
			mustVerify(t, j)
		})
	}
}

// newStore returns an empty store in a folder that goes away with the test.
func newStore(t testing.TB) *Store {
	t.Helper()
	s, err := Open(filepath.Join(t.TempDir(), FileName))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// mustVerify checks the hash chain, unless the test has closed the journal.
func mustVerify(t testing.TB, j Journal) {
	t.Helper()
	if err := Verify(j); err != nil && !errors.Is(err, ErrClosed) {
		t.Fatal(err)
	}
}

// epoch is the day on which the tests' clock begins.
var epoch = time.Date(2024, 10, 27, 9, 30, 0, 0, time.FixedZone("", 2*3600))

// draft returns the nth draft of a test: always the same one for the same n.
func draft(n int) Draft {
	var id ulid.ULID
	if err := id.SetTime(uint64(epoch.UnixMilli()) + uint64(n)); err != nil {
		panic(err)
	}
	id[15], id[14] = byte(n), byte(n>>8)
	return Draft{
		ID:         id.String(),
		RecordedAt: epoch.Add(time.Duration(n) * time.Second),
		HappenedAt: epoch.Add(time.Duration(n) * time.Hour),
		Who:        "Keeper",
		Kind:       "sample",
		Body:       json.RawMessage(fmt.Sprintf(`{"vessel":"K7","strength_pct":%d.50}`, 40+n%30)),
	}
}

func drafts(from, to int) []Draft {
	var list []Draft
	for n := from; n < to; n++ {
		list = append(list, draft(n))
	}
	return list
}

// mustAppend appends at whatever the head is.
func mustAppend(t testing.TB, j Journal, list ...Draft) []Entry {
	t.Helper()
	head, err := j.Head()
	if err != nil {
		t.Fatal(err)
	}
	entries, err := j.Append(head, list...)
	if err != nil {
		t.Fatal(err)
	}
	return entries
}

// all returns every entry of j.
func all(t testing.TB, j Journal) []Entry {
	t.Helper()
	var entries []Entry
	if err := j.Read(1, func(e Entry) error { entries = append(entries, e); return nil }); err != nil {
		t.Fatal(err)
	}
	return entries
}

// wantEntries compares every field, as an export shows them.
func wantEntries(t testing.TB, got, want []Entry) {
	t.Helper()
	if g, w := asJSON(t, got), asJSON(t, want); !bytes.Equal(g, w) {
		t.Fatalf("entries differ\n got %s\nwant %s", g, w)
	}
}

func asJSON(t testing.TB, v any) []byte {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func suiteEmpty(t *testing.T, j Journal) {
	head, err := j.Head()
	if err != nil || head != (Head{}) {
		t.Fatalf("head of an empty journal: %v, %v", head, err)
	}
	if got := all(t, j); got != nil {
		t.Fatalf("an empty journal has %v", got)
	}
	if _, ok, err := j.Find(draft(1).ID); ok || err != nil {
		t.Fatalf("found in an empty journal: %v, %v", ok, err)
	}
	if got := mustAppend(t, j); len(got) != 0 {
		t.Fatalf("appending nothing gave %v", got)
	}
}

func suiteFields(t *testing.T, j Journal) {
	first := mustAppend(t, j, draft(1), draft(2))
	second := mustAppend(t, j, draft(3))
	want := append(first, second...)
	wantEntries(t, all(t, j), want)
	for i, e := range want {
		d := draft(i + 1)
		if e.Seq != uint64(i+1) || !sameContent(e, d) || !e.RecordedAt.Equal(d.RecordedAt) {
			t.Fatalf("entry %d is %+v", i+1, e)
		}
		if _, offset := e.HappenedAt.Zone(); offset != 2*3600 {
			t.Fatalf("the offset became %d s", offset)
		}
		found, ok, err := j.Find(e.ID)
		if !ok || err != nil {
			t.Fatalf("find %s: %v, %v", e.ID, ok, err)
		}
		wantEntries(t, []Entry{found}, []Entry{e})
	}
	if head, _ := j.Head(); head != second[0].head() {
		t.Fatalf("head is %v", head)
	}
	if second[0].Prev != first[1].Hash || first[0].Prev != (Hash{}) {
		t.Fatal("the entries are not chained")
	}
}

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

func suiteReadFrom(t *testing.T, j Journal) {
	want := mustAppend(t, j, drafts(0, 3*batchEntries/2)...)
	for _, from := range []int{0, 1, 2, batchEntries, batchEntries + 1, len(want), len(want) + 1, len(want) + 9} {
		var got []Entry
		if err := j.Read(uint64(from), func(e Entry) error { got = append(got, e); return nil }); err != nil {
			t.Fatalf("read from %d: %v", from, err)
		}
		wantEntries(t, got, append([]Entry(nil), want[min(max(from, 1)-1, len(want)):]...))
	}
}

func suiteVisitor(t *testing.T, j Journal) {
	mustAppend(t, j, drafts(0, 10)...)
	enough := errors.New("enough")
	seen := 0
	err := j.Read(1, func(Entry) error {
		if seen++; seen == 4 {
			return enough
		}
		return nil
	})
	if err != enough || seen != 4 {
		t.Fatalf("stopped with %v after %d", err, seen)
	}
	seen = 0
	err = j.Read(1, func(Entry) error {
		seen++
		mustAppend(t, j, draft(100+seen))
		return nil
	})
	if err != nil || seen != 10 {
		t.Fatalf("read %d while appending: %v", seen, err)
	}
}

func suiteCopies(t *testing.T, j Journal) {
	want := asJSON(t, mustAppend(t, j, drafts(0, 3)...))
	spoil := func(e Entry) error {
		for i := range e.Body {
			e.Body[i] = 'x'
		}
		return nil
	}
	for _, e := range mustAppend(t, j, drafts(0, 3)...) {
		_ = spoil(e)
		found, _, _ := j.Find(e.ID)
		_ = spoil(found)
	}
	if err := j.Read(1, spoil); err != nil {
		t.Fatal(err)
	}
	if got := asJSON(t, all(t, j)); !bytes.Equal(got, want) {
		t.Fatalf("spoiling copies changed the journal to %s", got)
	}
}

func suiteAside(t *testing.T, j Journal) {
	if v, err := j.Get("password"); v != nil || err != nil {
		t.Fatalf("absent: %q, %v", v, err)
	}
	value := []byte("argon")
	if err := j.Put("password", value); err != nil {
		t.Fatal(err)
	}
	value[0] = 'x'
	if v, err := j.Get("password"); string(v) != "argon" || err != nil {
		t.Fatalf("kept: %q, %v", v, err)
	}
	if err := j.Put("empty", []byte{}); err != nil {
		t.Fatal(err)
	}
	if v, err := j.Get("empty"); v == nil || len(v) != 0 || err != nil {
		t.Fatalf("empty: %v, %v", v, err)
	}
	if err := errors.Join(j.Put("password", nil), j.Put("never there", nil)); err != nil {
		t.Fatal(err)
	}
	if v, err := j.Get("password"); v != nil || err != nil {
		t.Fatalf("taken away: %q, %v", v, err)
	}
	for _, key := range []string{"", string(make([]byte, MaxKey+1))} {
		if err := j.Put(key, value); err == nil {
			t.Errorf("a key of %d bytes was taken", len(key))
		}
	}
	if err := j.Put("big", make([]byte, MaxAside+1)); err == nil {
		t.Error("a value above the limit was taken")
	}
	if head, _ := j.Head(); head != (Head{}) {
		t.Fatalf("asides moved the head to %v", head)
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

// appendUntilTaken appends d, looking at the head again after a conflict.
func appendUntilTaken(j Journal, d Draft) (Entry, error) {
	for {
		head, err := j.Head()
		if err != nil {
			return Entry{}, err
		}
		entries, err := j.Append(head, d)
		if err == nil {
			return entries[0], nil
		}
		if !errors.Is(err, ErrConflict) {
			return Entry{}, err
		}
	}
}

// wantOnce checks that j has the acknowledged entries, each once, and no others.
func wantOnce(t *testing.T, j Journal, acknowledged ...[]Entry) {
	t.Helper()
	want := map[string]Entry{}
	for _, list := range acknowledged {
		for _, e := range list {
			want[e.ID] = e
		}
	}
	got := all(t, j)
	if len(got) != len(want) {
		t.Fatalf("%d entries, %d were acknowledged", len(got), len(want))
	}
	for _, e := range got {
		wantEntries(t, []Entry{e}, []Entry{want[e.ID]})
	}
}

func suiteWatch(t *testing.T, j Journal) {
	mustAppend(t, j, drafts(0, 4)...)
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	const watchers, last = 3, 40
	seen := make([][]uint64, watchers)
	var wg, ready, done sync.WaitGroup
	ready.Add(watchers)
	done.Add(watchers)
	for w := range watchers {
		wg.Go(func() {
			for e, err := range j.Watch(ctx, 2) {
				if err != nil {
					t.Errorf("watch: %v", err)
					return
				}
				if e.Seq == 4 {
					ready.Done()
				}
				seen[w] = append(seen[w], e.Seq)
				if e.Seq == last {
					done.Done()
				}
				if e.Seq == last && w == 0 {
					return // one leaves its loop, the others end with the context
				}
			}
		})
	}
	ready.Wait()
	for n := 4; n < last; n++ {
		mustAppend(t, j, draft(n))
	}
	done.Wait()
	cancel()
	wg.Wait()
	for w, list := range seen {
		for i, seq := range list {
			if seq != uint64(i+2) {
				t.Fatalf("watcher %d saw %v", w, list)
			}
		}
	}
	if len(seen[0]) != last-1 || len(seen[1]) != last-1 {
		t.Fatalf("watchers saw %d and %d entries", len(seen[0]), len(seen[1]))
	}
}

func suiteClosed(t *testing.T, j Journal) {
	mustAppend(t, j, draft(1))
	var wg sync.WaitGroup
	started := make(chan struct{})
	var last error
	wg.Go(func() {
		for _, err := range j.Watch(context.Background(), 1) {
			if last = err; err == nil {
				close(started)
			}
		}
	})
	<-started
	if err := errors.Join(j.Close(), j.Close()); err != nil {
		t.Fatal(err)
	}
	wg.Wait()
	_, errAppend := j.Append(Head{}, draft(2))
	_, errHead := j.Head()
	_, _, errFind := j.Find(draft(1).ID)
	_, errGet := j.Get("x")
	for name, err := range map[string]error{
		"watch": last, "append": errAppend, "head": errHead, "find": errFind, "get": errGet,
		"put": j.Put("x", nil), "backup": j.Backup(&bytes.Buffer{}),
		"read": j.Read(1, func(Entry) error { return nil }),
	} {
		if !errors.Is(err, ErrClosed) {
			t.Errorf("%s after closing: %v", name, err)
		}
	}
}
