package journal

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"
)

// FuzzLine reads lines of an export. What is taken must come out the same.
func FuzzLine(f *testing.F) {
	m := NewMemory()
	head := Head{}
	for _, d := range varied()[:6] {
		entries, err := m.Append(head, d)
		if err != nil {
			f.Fatal(err)
		}
		head = entries[0].head()
	}
	var export bytes.Buffer
	if err := Export(&export, m); err != nil {
		f.Fatal(err)
	}
	for line := range bytes.Lines(export.Bytes()) {
		f.Add(bytes.TrimSpace(line))
	}
	f.Fuzz(func(t *testing.T, line []byte) {
		e, _, err := parseLine(line)
		if err != nil {
			return
		}
		written := asJSON(t, e)
		again, field, err := parseLine(written)
		if err != nil {
			t.Fatalf("%s was taken, and then %s was not: %s: %v", line, written, field, err)
		}
		if !bytes.Equal(written, asJSON(t, again)) || hashOf(e) != hashOf(again) {
			t.Fatalf("%s became %s", written, asJSON(t, again))
		}
	})
}

// FuzzBody makes bodies compact. Doing so again, or writing the body within
// other JSON, must change nothing.
func FuzzBody(f *testing.F) {
	for _, d := range varied()[:6] {
		f.Add([]byte(d.Body))
	}
	for _, r := range refusals {
		d := draft(1)
		r.spoil(&d)
		f.Add([]byte(d.Body))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		once, err := compactBody(body)
		if err != nil {
			return
		}
		twice, err := compactBody(once)
		if err != nil || !bytes.Equal(once, twice) || !bytes.Equal(once, asJSON(t, once)) {
			t.Fatalf("%s became %s: %v", once, twice, err)
		}
		if before, after := asJSON(t, meaning(t, body)), asJSON(t, meaning(t, once)); !bytes.Equal(before, after) {
			t.Fatalf("%s and %s say different things", body, once)
		}
	})
}

// meaning reads JSON. Numbers stay as they are written: one of JSON may be
// larger than any of the machine's.
func meaning(t *testing.T, body []byte) (value any) {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(body))
	d.UseNumber()
	if err := d.Decode(&value); err != nil {
		t.Fatal(err)
	}
	return value
}

// FuzzDamage changes bytes in a store's file. It must be refused, found out,
// or as good as before.
func FuzzDamage(f *testing.F) {
	const stored = "../../testdata/journals/format-1"
	file, err := os.ReadFile(stored + ".db")
	if err != nil {
		f.Fatal(err)
	}
	export, err := os.ReadFile(stored + ".jsonl")
	if err != nil {
		f.Fatal(err)
	}
	for page := range len(file) / pageSize {
		f.Add(uint32(page*pageSize), []byte{1})             // its number
		f.Add(uint32(page*pageSize+8), []byte{3})           // its kind
		f.Add(uint32(page*pageSize+10), []byte{0xff, 0xff}) // how much it holds
		f.Add(uint32(page*pageSize+10), []byte{2})
		f.Add(uint32(page*pageSize+12), []byte{1})                               // how many pages follow
		f.Add(uint32(page*pageSize+pageHeader), []byte{1, 0, 0, 0, 8})           // its first element
		f.Add(uint32(page*pageSize+pageHeader+8), []byte{0, 0, 0, 0, 255, 0, 1}) // that one's lengths
	}
	f.Fuzz(func(t *testing.T, at uint32, change []byte) {
		damaged := bytes.Clone(file)
		for i, b := range change {
			if place := int(at) + i; place < len(damaged) {
				damaged[place] ^= b
			}
		}
		outcome(t, written(t, damaged), export)
	})
}
