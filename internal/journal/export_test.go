package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// varied returns drafts with what is awkward in an export.
func varied() []Draft {
	list := drafts(0, 30)
	list[1].Who = `Żółć "½" <hand> & keeper`
	list[2].Body = json.RawMessage(`{"note":"a line\nand \u2028 another, \"body\":{}","volume_l":1.50,"mg":9007199254740993}`)
	list[3].HappenedAt = list[3].HappenedAt.UTC()
	list[4].RecordedAt = list[4].RecordedAt.Add(123456789)
	list[5].Body = json.RawMessage(`{}`)
	return list
}

func exported(t *testing.T, j Journal) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Export(&out, j); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestImportGivesTheSameHead(t *testing.T) {
	m := NewMemory()
	mustAppend(t, m, varied()...)
	mustAppend(t, m, drafts(100, 100+2*importBatch)...)
	want := exported(t, m)
	path := filepath.Join(t.TempDir(), FileName)
	head, err := Import(path, bytes.NewReader(want))
	if err != nil {
		t.Fatal(err)
	}
	if wantHead, _ := m.Head(); head != wantHead {
		t.Errorf("head is %v, want %v", head, wantHead)
	}
	s, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	mustVerify(t, s)
	wantExport(t, s, want)
	if got, _ := s.Append(Head{}, varied()...); len(got) != len(varied()) {
		t.Error("a repeat is not known after the import")
	}
}

func TestImportOfNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	head, err := Import(path, strings.NewReader(""))
	var line *LineError
	if !errors.As(err, &line) || head != (Head{}) || !strings.Contains(err.Error(), "the file is empty") {
		t.Fatalf("%v, %v", head, err)
	}
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a store was made of nothing: %v", err)
	}
}

func TestBackupOpens(t *testing.T) {
	s := quickStore(t)
	mustAppend(t, s, varied()...)
	if err := s.Put("password", []byte("kept")); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := s.Backup(&out); err != nil {
		t.Fatal(err)
	}
	copied, err := Open(written(t, out.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	defer copied.Close()
	mustVerify(t, copied)
	wantExport(t, copied, exported(t, s))
	if v, err := copied.Get("password"); string(v) != "kept" || err != nil {
		t.Errorf("the aside is %q: %v", v, err)
	}
	mustAppend(t, copied, draft(99))
}

// TestImportRefuses changes one thing in an export at a time. Each must be
// named with its line and field, and leave nothing in the folder.
func TestImportRefuses(t *testing.T) {
	m := NewMemory()
	mustAppend(t, m, varied()...)
	lines := strings.SplitAfter(string(exported(t, m)), "\n")
	third := lines[2]
	with := func(old, fresh string) string { return strings.Replace(third, old, fresh, 1) }
	for _, c := range []struct{ name, line, want string }{
		{"no JSON", "when,entry\n", "export.jsonl:3: it is not a JSON object"},
		{"an empty line", "\n", "export.jsonl:3: the line is empty"},
		{"cut off", third[:len(third)/2] + "\n", "export.jsonl:3: it is not JSON"},
		{"a field is missing", with(`"who":"Keeper",`, ""), "export.jsonl:3: who: it is missing"},
		{"a field too many", with(`{"seq"`, `{"cask":1,"seq"`), "export.jsonl:3: cask: an entry has no such field"},
		{"a field twice", with(`{"seq"`, `{"seq":3,"seq"`), `export.jsonl:3: the key "seq" is there twice`},
		{"a text for a number", with(`"seq":3`, `"seq":"3"`), `export.jsonl:3: seq: "3": it should be a whole number, without quotation marks`},
		{"a date that is not", with("2024-10-27T", "2024-10-32T"), "export.jsonl:3: recorded_at: "},
		{"a changed body", with("1.50", "1.60"), "export.jsonl:3: hash: "},
		{"a changed name", with("Keeper", "Kaeper"), "export.jsonl:3: hash: "},
		{"a short hash", with(`"hash":"`, `"hash":"0`), "export.jsonl:3: hash: "},
		{"a hash in capitals", strings.Replace(third, third[strings.Index(third, `"hash"`):], strings.ToUpper(third[strings.Index(third, `"hash"`):]), 1), "export.jsonl:3: "},
		{"a bad ID", with(draft(2).ID, "8"+draft(2).ID[1:]), "export.jsonl:3: id: "},
		{"a line is missing", "", "export.jsonl:3: seq: 4 stands where 3 belongs"},
		{"a line is doubled", lines[1], "export.jsonl:3: seq: 2 stands where 3 belongs"},
		{"a line that is too long", strings.Repeat("x", MaxBody+65<<10) + "\n", "export.jsonl:3: body: the line is longer"},
	} {
		dir := t.TempDir()
		name := filepath.Join(t.TempDir(), "export.jsonl")
		text := lines[0] + lines[1] + c.line + strings.Join(lines[3:], "")
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		f, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		_, err = Import(filepath.Join(dir, FileName), f)
		f.Close()
		var line *LineError
		if !errors.As(err, &line) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error is %v, want %s", c.name, err, c.want)
		}
		wantEmpty(t, c.name, dir)
	}
}

// TestImportRefusesARightHashOfAWrongEntry makes lines whose hashes are right
// but which no journal would have recorded.
func TestImportRefusesARightHashOfAWrongEntry(t *testing.T) {
	first := link(Head{}, []Draft{draft(1)})[0]
	for field, change := range map[string]func(*Entry){
		"kind": func(e *Entry) { e.Kind = "Sample" },
		"id":   func(e *Entry) { e.ID = first.ID },
		"prev": func(e *Entry) { e.Prev = Hash{1} },
	} {
		second := link(first.head(), []Draft{draft(2)})[0]
		change(&second)
		second.Hash = hashOf(second)
		text := string(asJSON(t, first)) + "\n" + string(asJSON(t, second)) + "\n"
		dir := t.TempDir()
		_, err := Import(filepath.Join(dir, FileName), strings.NewReader(text))
		wantWords(t, field, err, nil, "line:2: "+field+": ")
		wantEmpty(t, field, dir)
	}
}

func wantEmpty(t *testing.T, what, dir string) {
	t.Helper()
	if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
		t.Errorf("%s: left behind: %v, %v", what, left, err)
	}
}

func TestImportLeavesAnExistingStoreAlone(t *testing.T) {
	file, export := filled(t, 3)
	path := written(t, file)
	_, err := Import(path, bytes.NewReader(export))
	wantWords(t, "there is a store", err, nil, path, "there is something by that name")
	if after, _ := os.ReadFile(path); !bytes.Equal(file, after) {
		t.Error("the file was changed")
	}
	_, err = Import(filepath.Join(t.TempDir(), "nowhere", FileName), bytes.NewReader(export))
	wantWords(t, "no folder", err, os.ErrNotExist, "nowhere")
}

// TestHashByHand works a hash out from the description in docs/journal.md,
// without any of the code under test.
func TestHashByHand(t *testing.T) {
	j := NewMemory()
	d := draft(1)
	d.Who = "Żółć"
	first := mustAppend(t, j, draft(0))[0]
	got := mustAppend(t, j, d)[0]
	body := `{"vessel":"K7","strength_pct":41.50}`
	text := "croze entry 1\n" +
		fmt.Sprintf("64:%x\n", first.Hash[:]) +
		"1:2\n" +
		"26:" + d.ID + "\n" +
		"25:2024-10-27T09:30:01+02:00\n" +
		"25:2024-10-27T10:30:00+02:00\n" +
		"8:Żółć\n" +
		"6:sample\n" +
		fmt.Sprintf("%d:%s\n", len(body), body)
	if want := sha256.Sum256([]byte(text)); got.Hash != want {
		t.Fatalf("hash is %s, by hand %x", got.Hash, want)
	}
}

// TestAuditorsProgram runs the Python program that docs/journal.md gives to
// auditors on an export, and on one in which a digit was changed.
func TestAuditorsProgram(t *testing.T) {
	page, err := os.ReadFile("../../docs/journal.md")
	if err != nil {
		t.Fatal(err)
	}
	_, program, found := strings.Cut(string(page), "```python\n")
	program, _, ended := strings.Cut(program, "```")
	if !found || !ended {
		t.Fatal("docs/journal.md has no Python program")
	}
	m := NewMemory()
	mustAppend(t, m, varied()...)
	head, _ := m.Head()
	export := exported(t, m)
	out, err := audit(t, program, export)
	if want := fmt.Sprintf("%d %s\n", head.Seq, head.Hash); err != nil || out != want {
		t.Errorf("the program says %q, want %q: %v", out, want, err)
	}
	out, err = audit(t, program, bytes.Replace(export, []byte("47.50"), []byte("47.60"), 1))
	if err == nil || !strings.Contains(out, "entry 8") {
		t.Errorf("of a changed export the program says %q: %v", out, err)
	}
}

func audit(t *testing.T, program string, export []byte) (string, error) {
	t.Helper()
	out, err := exec.Command("python3", "-c", program, written(t, export)).CombinedOutput()
	return string(out), err
}
