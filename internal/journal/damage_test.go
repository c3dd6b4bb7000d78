package journal

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"go.etcd.io/bbolt"
)

// wantWords checks that an error is of a kind and says certain things.
func wantWords(t *testing.T, what string, err, kind error, words ...string) {
	t.Helper()
	if err == nil || kind != nil && !errors.Is(err, kind) {
		t.Errorf("%s: error is %v, want %v", what, err, kind)
		return
	}
	for _, w := range words {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("%s: %q does not say %q", what, err, w)
		}
	}
}

// filled returns the bytes of a store with n entries, and its export.
func filled(t *testing.T, n int) (file, export []byte) {
	t.Helper()
	s := quickStore(t)
	for first := 0; first < n; first += 7 { // several commits, so that pages are freed and used again
		mustAppend(t, s, drafts(first, min(first+7, n))...)
	}
	var out bytes.Buffer
	if err := Export(&out, s); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(s.Put("aside", []byte("kept")), s.Close()); err != nil {
		t.Fatal(err)
	}
	file, err := os.ReadFile(s.Path())
	if err != nil {
		t.Fatal(err)
	}
	return file, out.Bytes()
}

// written returns the path of a file with the given bytes.
func written(t testing.TB, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), FileName)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestFormatsThatAreRefused(t *testing.T) {
	file, _ := filled(t, 3)
	for _, c := range []struct {
		format string
		kind   error
		words  string
	}{
		{strconv.Itoa(Format + 1), ErrNewer, "form 2 and this program knows forms up to 1"},
		{"x", nil, `the number of its form is "x"`},
		{"0", nil, `the number of its form is "0"`},
	} {
		path := written(t, file)
		inBolt(t, path, func(tx *bbolt.Tx) error {
			return tx.Bucket(bucketStore).Put(keyFormat, []byte(c.format))
		})
		before, _ := os.ReadFile(path)
		_, err := Open(path)
		wantWords(t, "format "+c.format, err, c.kind, path, c.words)
		if after, _ := os.ReadFile(path); !bytes.Equal(before, after) {
			t.Errorf("format %s: the refused file was changed", c.format)
		}
	}
}

// inBolt changes a store's file behind the journal's back.
func inBolt(t *testing.T, path string, f func(*bbolt.Tx) error) {
	t.Helper()
	db, err := bbolt.Open(path, 0o600, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(db.Update(f), db.Close()); err != nil {
		t.Fatal(err)
	}
}

func TestFilesThatAreNoStore(t *testing.T) {
	other := filepath.Join(t.TempDir(), "other.db")
	inBolt(t, other, func(tx *bbolt.Tx) error { _, err := tx.CreateBucket([]byte("x")); return err })
	_, err := Open(other)
	wantWords(t, "another program's file", err, ErrNotStore, "another program")

	_, err = Open(written(t, nil))
	wantWords(t, "an empty file", err, ErrNotStore, "empty")
	_, err = Open(written(t, []byte("when,entry,vessel\n")))
	wantWords(t, "a short text", err, nil, FileName)
	_, err = Open(written(t, bytes.Repeat([]byte("when,entry,vessel\n"), 5000)))
	wantWords(t, "a long text", err, ErrNotStore, "damaged")
	_, err = Open(t.TempDir())
	wantWords(t, "a folder", err, ErrNotStore, "not a file")
	_, err = Open(filepath.Join(t.TempDir(), "nowhere", FileName))
	wantWords(t, "no folder", err, os.ErrNotExist, "nowhere")
	_, err = OpenReadOnly(filepath.Join(t.TempDir(), FileName))
	wantWords(t, "reading what is not there", err, os.ErrNotExist, FileName)
}

func TestOpenReadOnlyChangesNothing(t *testing.T) {
	file, export := filled(t, 20)
	path := written(t, file)
	if err := os.Chmod(path, 0o400); err != nil {
		t.Fatal(err)
	}
	s, err := OpenReadOnly(path)
	if err != nil {
		t.Fatal(err)
	}
	head, err := s.Head()
	if err != nil {
		t.Fatal(err)
	}
	_, errAppend := s.Append(head, draft(99))
	wantWords(t, "append", errAppend, ErrReadOnly)
	wantWords(t, "put", s.Put("x", nil), ErrReadOnly)
	wantExport(t, s, export)
	s.Close()
	if after, _ := os.ReadFile(path); !bytes.Equal(file, after) {
		t.Error("the file was changed")
	}
}

func wantExport(t *testing.T, j Journal, want []byte) {
	t.Helper()
	var out bytes.Buffer
	if err := Export(&out, j); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(out.Bytes(), want) {
		t.Fatalf("the export has %d bytes and differs from the expected %d", out.Len(), len(want))
	}
}

// outcome says how a damaged file fares: refused when opened, found out by
// Verify, or as good as before. Anything else fails the test: a crash, or
// other entries that pass for right.
func outcome(t testing.TB, path string, export []byte) string {
	t.Helper()
	s, err := Open(path)
	if err != nil {
		if !strings.Contains(err.Error(), path) {
			t.Errorf("refused without naming the file: %v", err)
		}
		return "refused"
	}
	defer s.Close()
	if err := Verify(s); err != nil {
		var damage *DamageError
		if !errors.As(err, &damage) {
			t.Errorf("Verify does not call it damage: %v", err)
		}
		return "found by Verify"
	}
	var out bytes.Buffer
	if err := Export(&out, s); err != nil {
		t.Fatalf("Verify is content, but export: %v", err)
	}
	if bytes.Equal(out.Bytes(), export) {
		return "unharmed"
	}
	if s.Notice() != "" && bytes.HasPrefix(export, out.Bytes()) {
		return "last commit lost, with a notice"
	}
	t.Fatalf("the store opens, passes Verify without a notice, and has other entries")
	return ""
}

func TestTruncatedFiles(t *testing.T) {
	file, export := filled(t, 150)
	seed := seedOfRun(t)
	random := rand.New(rand.NewPCG(seed, 4))
	fares := map[string]int{}
	for size := 512; size < len(file); size += 512 + random.IntN(4096) {
		fares[outcome(t, written(t, file[:size]), export)]++
	}
	t.Log(fares)
	if fares["refused"] == 0 {
		t.Error("no truncated file was refused")
	}
}

func TestFlippedBits(t *testing.T) {
	file, export := filled(t, 150)
	used := inUse(t, file)
	seed := seedOfRun(t)
	random := rand.New(rand.NewPCG(seed, 5))
	fares := map[string]int{}
	for range 300 * longRun() {
		at, bit := random.IntN(used), random.IntN(8)
		damaged := bytes.Clone(file)
		damaged[at] ^= 1 << bit
		t.Logf("bit %d of byte %d", bit, at)
		fares[outcome(t, written(t, damaged), export)]++
	}
	t.Log(fares)
	if fares["refused"] == 0 || fares["found by Verify"] == 0 {
		t.Errorf("fares are %v: all kinds of damage should come up", fares)
	}
}

// inUse returns how many bytes of the file have been written to.
func inUse(t *testing.T, file []byte) int {
	t.Helper()
	s, err := OpenReadOnly(written(t, file))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	size := 0
	if err := s.view(func(tx *bbolt.Tx) error { size = int(tx.Size()); return nil }); err != nil {
		t.Fatal(err)
	}
	return size
}

func TestOverwrittenPages(t *testing.T) {
	file, export := filled(t, 150)
	used := inUse(t, file)
	fares := map[string]int{}
	for page := 2 * pageSize; page < used; page += pageSize {
		for _, with := range []byte{0, 0xff} {
			damaged := bytes.Clone(file)
			copy(damaged[page:page+pageSize], bytes.Repeat([]byte{with}, pageSize))
			fares[outcome(t, written(t, damaged), export)]++
		}
	}
	t.Log(fares)
}

// A page that says it holds fewer keys than it does hides the others. Hidden
// at the end of the book, they would not be missed by the chain.
func TestPagesThatSayTheyHoldLess(t *testing.T) {
	file, export := filled(t, 150)
	fares := map[string]int{}
	for page := 2 * pageSize; page < inUse(t, file); page += pageSize {
		for count := range file[page+10] {
			damaged := bytes.Clone(file)
			damaged[page+10] = count
			fares[outcome(t, written(t, damaged), export)]++
		}
	}
	if fares["refused"] == 0 {
		t.Errorf("none was refused: %v", fares)
	}
	t.Log(fares)
}

func TestDamagedHeaderIsNoticedAndMended(t *testing.T) {
	file, export := filled(t, 40)
	for page := range 2 {
		damaged := bytes.Clone(file)
		damaged[page*pageSize+40] ^= 4
		path := written(t, damaged)
		s, err := Open(path)
		if err != nil {
			t.Fatalf("header %d: %v", page, err)
		}
		if !strings.Contains(s.Notice(), "may be missing") {
			t.Errorf("header %d: the notice is %q", page, s.Notice())
		}
		mustVerify(t, s)
		wantExport(t, s, export) // the last commit was an aside, so that no entry is lost
		s.Close()
		again, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		if again.Notice() != "" {
			t.Errorf("header %d was not mended: %s", page, again.Notice())
		}
		again.Close()
	}
	damaged := bytes.Clone(file)
	damaged[40] ^= 4
	damaged[pageSize+40] ^= 4
	_, err := Open(written(t, damaged))
	wantWords(t, "both headers", err, ErrNotStore, "damaged")
}
