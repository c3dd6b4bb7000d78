package journal

import (
	"bytes"
	"io"
	"testing"
)

// benchDrafts returns n drafts from first on, all with their own IDs.
func benchDrafts(first, n int) []Draft {
	list := make([]Draft, n)
	for i := range list {
		list[i] = batchDraft(first>>16, first&0xffff, i, n)
	}
	return list
}

func benchAppend(b *testing.B, size int) {
	s := newStore(b)
	head, n := Head{}, 0
	for b.Loop() {
		entries, err := s.Append(head, benchDrafts(n, size)...)
		if err != nil {
			b.Fatal(err)
		}
		head, n = entries[size-1].head(), n+1
	}
	b.ReportMetric(float64(b.N*size)/b.Elapsed().Seconds(), "entries/s")
}

func BenchmarkAppendOne(b *testing.B)      { benchAppend(b, 1) }
func BenchmarkAppendHundred(b *testing.B)  { benchAppend(b, 100) }
func BenchmarkAppendThousand(b *testing.B) { benchAppend(b, 1000) }

// large returns a store of n entries.
func large(b *testing.B, n int) *Store {
	s := newStore(b)
	for first := 0; first < n; first += 1000 {
		mustAppend(b, s, benchDrafts(first, 1000)...)
	}
	return s
}

func BenchmarkRead20000(b *testing.B) {
	s := large(b, 20_000)
	for b.Loop() {
		if err := s.Read(1, func(Entry) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOpen20000(b *testing.B) {
	s := large(b, 20_000)
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		again, err := Open(s.Path())
		if err != nil {
			b.Fatal(err)
		}
		again.Close()
	}
}

func BenchmarkBackup20000(b *testing.B) {
	s := large(b, 20_000)
	for b.Loop() {
		if err := s.Backup(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkImport20000(b *testing.B) {
	s := large(b, 20_000)
	var export bytes.Buffer
	if err := Export(&export, s); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		path := b.TempDir() + "/" + FileName
		if _, err := Import(path, bytes.NewReader(export.Bytes())); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHash(b *testing.B) {
	e := link(Head{}, []Draft{draft(1)})[0]
	b.ReportAllocs()
	for b.Loop() {
		if hashOf(e) != e.Hash {
			b.Fatal("another hash")
		}
	}
}
