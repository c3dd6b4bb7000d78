package journal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/oklog/ulid/v2"
)

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
