package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/journal"
)

// june is the clock of the tests that run within the process.
func june() time.Time { return time.Date(2024, 6, 1, 12, 0, 0, 0, time.UTC) }

// croze runs the program as if in June 2024.
func croze(args ...string) (code int, out, err string) {
	var o, e bytes.Buffer
	code = run(args, world{in: strings.NewReader(""), out: &o, err: &e, now: june})
	return code, o.String(), e.String()
}

// exampleStore makes a store of the example files in a folder of its own.
func exampleStore(t testing.TB) (dir string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "cellar")
	args := []string{"import", "--data", dir}
	for _, kind := range []string{"places", "vessels", "batches", "entries"} {
		args = append(args, "--"+kind, filepath.Join(imports, kind+".csv"))
	}
	if code, _, err := croze(args...); code != exitDone {
		t.Fatalf("the examples are refused:\n%s", err)
	}
	return dir
}

// copied makes another store with the same bytes.
func copied(t testing.TB, dir string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, journal.FileName))
	if err != nil {
		t.Fatal(err)
	}
	other := t.TempDir()
	if err := os.WriteFile(filepath.Join(other, journal.FileName), data, 0o600); err != nil {
		t.Fatal(err)
	}
	return other
}

const (
	entryHead  = "when,entry,vessel,from,volume_l,temp_c,strength_pct,reading_pct,gross_kg,drawn_l,note\n"
	vesselHead = "code,kind,capacity_l,wood,wood_state,wood_area_m2,place,tare_kg,maker_code,note\n"
)

// importRefusals are all that an import refuses by the promise in
// docs/commands.md, on top of the example store. A %s is the file's name.
var importRefusals = []struct{ name, kind, text, want string }{
	{"number not finite", "entries", entryHead + "2024-03-10,draw,2A2-A2C,,NaN,,,,,,\n", `%s:2: volume_l: "NaN": type a plain number such as 46.2`},
	{"number infinite", "entries", entryHead + "2024-03-10,draw,2A2-A2C,,+Inf,,,,,,\n", `%s:2: volume_l: "+Inf": type a plain number such as 46.2`},
	{"decimal comma", "entries", entryHead + "2024-03-10,sample,2A2-A2C,,,,\"61,8\",,,,\n", `%s:2: strength_pct: "61,8": use a point as the decimal mark, and nothing between thousands`},
	{"strength above 100", "entries", entryHead + "2024-03-10,sample,2A2-A2C,,,,123.4,,,,\n", `%s:2: strength_pct: "123.4": must be 0 to 100 (is it proof?)`},
	{"strength below 0", "entries", entryHead + "2024-03-10,sample,2A2-A2C,,,,-0.1,,,,\n", `%s:2: strength_pct: "-0.1": must be 0 to 100 (is it proof?)`},
	{"volume 0", "entries", entryHead + "2024-03-10,draw,2A2-A2C,,0,,,,,,\n", `%s:2: volume_l: "0": must be above 0 and at most 1000000`},
	{"volume below 0", "entries", entryHead + "2024-03-10,sample,2A2-A2C,,,,,,,-1,\n", `%s:2: drawn_l: "-1": must be above 0 and at most 1000000`},
	{"too warm", "entries", entryHead + "2024-03-10,sample,2A2-A2C,,,40.1,,60,,,\n", `%s:2: temp_c: "40.1": must be -20 to 40 (is it °F?)`},
	{"too cold", "entries", entryHead + "2024-03-10,sample,2A2-A2C,,,-20.1,,60,,,\n", `%s:2: temp_c: "-20.1": must be -20 to 40 (is it °F?)`},
	{"unknown column", "entries", "when,entry,vessel,proof\n2024-03-10,sample,2A2-A2C,124\n", `%s:1: proof: unknown column: the columns are when, entry, vessel,`},
	{"unknown kind of vessel", "vessels", vesselHead + "B 9,barrel,50,,,,,,,\n", `%s:2: kind: "barrel": use cask, hybrid, jar or tank`},
	{"unknown entry", "entries", entryHead + "2024-03-10,boil,2A2-A2C,,,,,,,,\n", `%s:2: entry: "boil": not a kind of entry for a file: use one of fill, sample, draw, top_up, transfer, empty, note, spill, reduce`},
	{"unknown vessel", "entries", entryHead + "2024-03-10,sample,Q9,,,,60,,,,\n", `%s:2: vessel: "Q9": no such vessel is registered`},
	{"unknown batch", "entries", entryHead + "2024-03-10,fill,TANK 1,X-2024,20,,60,,,,\n", `%s:2: from: "X-2024": no batch or vessel has this name`},
	{"form of a place", "vessels", vesselHead + "B 9,cask,50,,,," + strings.Repeat("n", 61) + ",,,\n", `%s:2: place: "` + strings.Repeat("n", 60) + `…": longer than 60 characters`},
	{"form of a code", "vessels", vesselHead + "B#9,cask,50,,,,,,,\n", `%s:2: code: "B#9": holds '#': letters, digits, spaces and - _ . / are allowed`},
	{"no such date", "entries", entryHead + "2023-02-29,sample,2A2-A2C,,,,60,,,,\n", `%s:2: when: "2023-02-29": there is no such date`},
	{"future date", "entries", entryHead + "2024-06-02,sample,2A2-A2C,,,,60,,,,\n", `%s:2: when: "2024-06-02": lies in the future`},
	{"future time", "entries", entryHead + "2024-06-01T14:30:00+02:00,sample,2A2-A2C,,,,60,,,,\n", `%s:2: when: "2024-06-01T14:30:00+02:00": lies in the future`},
	{"over capacity by a fill", "entries", entryHead + "2024-03-10,fill,TANK 1,,510.1,,60,,,,\n", `%s:2: volume_l: "510.1": vessel TANK 1 holds 500 L (2 %% over is the limit)`},
	{"over capacity by a sample", "entries", entryHead + "2024-03-10,sample,2A2-A2C,,51.1,,60,,,,\n", `%s:2: volume_l: "51.1": vessel 2A2-A2C holds 50 L (2 %% over is the limit)`},
	{"over capacity by topping up", "entries", entryHead + "2024-03-10,top_up,2A2-A2C,R-2021,8,,60,,,,\n", `%s:2: volume_l: "8": vessel 2A2-A2C holds 50 L and has at least`},
	{"more drawn than there is", "entries", entryHead + "2024-03-10,draw,2A2-A2C,,50,,,,,,\n", `%s:2: volume_l: "50": 2A2-A2C holds only`},
	{"more moved than there is", "entries", entryHead + "2024-03-10,fill,TANK 1,2A2-A2C,60,,,,,,\n", `%s:2: volume_l: "60": 2A2-A2C holds only`},
	{"more filled than was made", "entries", entryHead + "2024-03-10,fill,TANK 1,R-2021,100,,63,,,,\n", `%s:2: volume_l: "100": that is 63.00 L of pure alcohol, and batch R-2021 has only`},
	{"sample of an empty vessel", "entries", entryHead + "2024-03-10,sample,8W8-W75,,,,60,,,,\n", `%s:2: vessel: "8W8-W75": it is empty on 2024-03-10: only a fill can come next`},
	{"sample before the fill", "entries", entryHead + "2021-02-28,sample,2A2-A2C,,,,60,,,,\n", `%s:2: vessel: "2A2-A2C": it is empty on 2021-02-28: only a fill can come next`},
	{"draw from an empty vessel", "entries", entryHead + "2024-03-10,draw,8W8-W75,,1,,60,,,,\n", `%s:2: vessel: "8W8-W75": it is empty on 2024-03-10: only a fill can come next`},
	{"transfer from an empty vessel", "entries", entryHead + "2024-03-10,transfer,2A2-A2C,8W8-W75,1,,60,,,,\n", `%s:2: `},
	{"fill of a full vessel", "entries", entryHead + "2024-03-10,fill,2A2-A2C,R-2021,1,,60,,,,\n", `%s:2: vessel: "2A2-A2C": it is not empty on 2024-03-10: top it up, or empty it first`},
	{"check character", "vessels", vesselHead + "2A2-A2D,cask,50,,,,,,,\n", `%s:2: code: "2A2-A2D": the last character does not fit the others: look at the label again and type the code once more`},
	{"code taken", "vessels", vesselHead + "2a2a2c,cask,50,,,,,,,\n", `%s:2: code: "2A2-A2C": a vessel with this code is registered already`},
	{"row twice", "entries", entryHead + "2024-03-10,sample,2A2-A2C,,,,61.9,,,,\n2024-03-10,sample,2a2a2c,,,,61.90,,,,\n", `%s:3: the same row as line 2: take one out, or tell them apart by a note`},
	{"raw reading without temperature", "entries", entryHead + "2024-03-10,sample,2A2-A2C,,,,,60,,,\n", `%s:2: temp_c: is blank: a raw reading needs the temperature of the liquid`},
	{"weight without tare", "entries", entryHead + "2024-03-10,fill,TANK 1,,,,60,,90,,\n", `%s:2: gross_kg: "90": vessel TANK 1 has no tare_kg: register its weight when empty first`},
}

func TestImportRefusals(t *testing.T) {
	store := exampleStore(t)
	for _, c := range importRefusals {
		t.Run(c.name, func(t *testing.T) {
			dir := copied(t, store)
			file := filepath.Join(t.TempDir(), "rows.csv")
			if err := os.WriteFile(file, []byte(c.text), 0o600); err != nil {
				t.Fatal(err)
			}
			before := sum(filepath.Join(dir, journal.FileName))
			code, out, err := croze("import", "--data", dir, "--"+c.kind, file)
			if code != exitBad || out != "" {
				t.Errorf("exit code %d and output %q, want %d and none", code, out, exitBad)
			}
			if want := fmt.Sprintf(c.want, file); !strings.HasPrefix(err, want) {
				t.Errorf("got\n%s\nwant\n%s", err, want)
			}
			if !strings.HasSuffix(err, "croze import: 1 problem: nothing was written\n") {
				t.Errorf("it ends otherwise:\n%s", err)
			}
			if sum(filepath.Join(dir, journal.FileName)) != before {
				t.Error("the store has changed")
			}
		})
	}
}

// TestImportTakes: what is near to a refusal and is none.
func TestImportTakes(t *testing.T) {
	store := exampleStore(t)
	for _, c := range []struct{ name, kind, text string }{
		{"2 % over capacity", "entries", entryHead + "2024-03-10,fill,TANK 1,,509.9,,60,,,,\n"},
		{"a code of another form", "vessels", vesselHead + "2A2-A2,cask,50,,,,,,,\nCask no. 7/b,cask,50,,,,,,,\n"},
		{"a place that is not listed", "vessels", vesselHead + "B 9,cask,50,,,,New shed,,,\n"},
		{"a late entry", "entries", entryHead + "2022-06-01,sample,2A2-A2C,,,,62.5,,,,\n"},
		{"by the maker's code", "entries", entryHead + "2024-03-10,sample,st-50-01,,,,61.9,,,,\n"},
		{"a fill that names nothing", "entries", entryHead + "2024-03-10,fill,TANK 1,,20,,60,,,,\n"},
		{"the limits of temperature", "entries", entryHead + "2024-03-10,sample,2A2-A2C,,,40,,65,,,\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := copied(t, store)
			file := filepath.Join(t.TempDir(), "rows.csv")
			if err := os.WriteFile(file, []byte(c.text), 0o600); err != nil {
				t.Fatal(err)
			}
			if code, _, err := croze("import", "--data", dir, "--"+c.kind, file); code != exitDone {
				t.Errorf("exit code %d:\n%s", code, err)
			}
			if code, _, err := croze("check", "--data", dir); code != exitDone {
				t.Errorf("the store is not sound:\n%s", err)
			}
		})
	}
}

// TestEveryBadRowAtOnce: one import, one list of all that is wrong with it.
func TestEveryBadRowAtOnce(t *testing.T) {
	dir := exampleStore(t)
	file := filepath.Join(t.TempDir(), "rows.csv")
	text := entryHead +
		"2024-03-10,sample,2A2-A2C,,,,161,,,,\n" +
		"2024-03-11,sample,2A2-A2C,,51.5,,61,,,,\n" +
		"2024-03-12,draw,6Y3-R5T,,60,,,,,,\n" +
		"2024-03-13,sample,Q9,,,,61,,,,\n" +
		"2024-03-14,sample,Q8,,,,61,,,,\n" +
		"2024-03-15,fill,3X6-H57,,5,,61,,,,\n" +
		"2024-03-16,sample,8W8-W75,,,,61,,,,\n" +
		"2024-03-17,note,TANK 1,,,,,,,,rinsed\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	code, _, err := croze("import", "--data", dir, "--entries", file)
	if code != exitBad {
		t.Fatalf("exit code %d", code)
	}
	for line := 2; line <= 8; line++ {
		if !strings.Contains(err, fmt.Sprintf("%s:%d: ", file, line)) {
			t.Errorf("line %d is not named", line)
		}
	}
	if strings.Contains(err, file+":9:") {
		t.Error("line 9 is named, and there is nothing wrong with it")
	}
}
