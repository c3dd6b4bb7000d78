package journal

import (
	"bytes"
	"context"
	"errors"
	"sync"
	"testing"
)

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
