package exchange_test

import (
	"slices"
	"strings"
	"testing"

	"example.org/croze/internal/exchange"
)

const (
	entryHeader  = "when,entry,vessel,from,volume_l,temp_c,strength_pct,reading_pct,gross_kg,drawn_l,note\n"
	vesselHeader = "code,kind,capacity_l,wood,wood_state,wood_area_m2,place,tare_kg,maker_code,note\n"
	batchHeader  = "batch,made_on,volume_l,strength_pct,grains,yeast,note\n"
)

// refusals are files with one thing wrong, and what is said about it.
var refusals = []struct{ name, kind, text, want string }{
	{"empty file", "entries", "", "f.csv:1: the file is empty: it needs a header row with the names of the columns"},
	{"UTF-16", "entries", "\xff\xfew\x00", "f.csv:1: the file is UTF-16 text: save it as CSV in UTF-8"},
	{"workbook", "entries", "PK\x03\x04...", "f.csv:1: the file is a workbook or an archive: save the sheet as CSV in UTF-8"},
	{"old line ends", "places", "place,temp_c\rLoft,99\rBarn,11\r", "f.csv:2: temp_c: \"99\": must be -40 to 60"},
	{"semicolons", "places", "place;temp_c\nLoft;3,5\n", "f.csv:1: the fields are divided by semicolons: save the file with commas, and numbers with a decimal point"},
	{"tabs", "places", "place\ttemp_c\n", "f.csv:1: the fields are divided by tabs: save the file with commas, and numbers with a decimal point"},
	{"unknown column", "places", "place,colour\nLoft,red\n", "f.csv:1: colour: unknown column: the columns are place, temp_c, humidity_pct"},
	{"capital column", "places", "Place\nLoft\n", "f.csv:1: Place: unknown column: write place\nf.csv:1: place: this column is missing"},
	{"column twice", "places", "place,temp_c,place\n", "f.csv:1: place: there are two columns of this name, the first is number 1: keep one"},
	{"nameless column", "places", "place,\n", "f.csv:1: a column without a name: name it or take it out"},
	{"missing columns", "entries", "note\n", "f.csv:1: when: this column is missing\nf.csv:1: entry: this column is missing\nf.csv:1: vessel: this column is missing"},
	{"bad quotes in header", "places", "\"place\n", "f.csv:1: the header row cannot be read"},
	{"too few fields", "places", "place,temp_c\nLoft\n", "f.csv:2: the row has 1 fields and the header has 2: check the commas and the quotation marks"},
	{"too many fields", "places", "place,temp_c\nLoft,1,2\n", "f.csv:2: the row has 3 fields and the header has 2: check the commas and the quotation marks"},
	{"bare quote", "places", "place,temp_c\nLo\"ft,1\n", "f.csv:2: a quotation mark stands inside a field that does not begin with one"},
	{"quote after quote", "places", "place,temp_c\n\"Lo\"ft,1\n", "f.csv:2: a quotation mark inside a quoted field is not doubled"},
	{"open quote", "places", "place,temp_c\nA,1\n\"Loft,1\nB,2\n", "f.csv:3: a quotation mark is opened and not closed"},
	{"bad UTF-8", "places", "place,temp_c\nL\xe9ft,1\n", "f.csv:2: place: \"L\\xe9ft\": not UTF-8 text: save the file as CSV in UTF-8"},
	{"NUL", "places", "place,temp_c\nLo\x00ft,1\n", "f.csv:2: place: \"Lo\\x00ft\": holds the control character U+0000: take it out"},
	{"decimal comma", "places", "place,temp_c\nLoft,\"3,5\"\n", "f.csv:2: temp_c: \"3,5\": use a point as the decimal mark, and nothing between thousands"},
	{"thousands", "vessels", vesselHeader + "A,cask,\"1,000.5\",,,,,,,\n", "f.csv:2: capacity_l: \"1,000.5\": use a point as the decimal mark, and nothing between thousands"},
	{"exponent", "places", "place,temp_c\nLoft,1e1\n", "f.csv:2: temp_c: \"1e1\": type a plain number such as 46.2"},
	{"hexadecimal", "places", "place,temp_c\nLoft,0x10\n", "f.csv:2: temp_c: \"0x10\": type a plain number such as 46.2"},
	{"underscore", "places", "place,temp_c\nLoft,1_0\n", "f.csv:2: temp_c: \"1_0\": type a plain number such as 46.2"},
	{"infinite", "places", "place,temp_c\nLoft,Inf\n", "f.csv:2: temp_c: \"Inf\": type a plain number such as 46.2"},
	{"not a number", "places", "place,temp_c\nLoft,NaN\n", "f.csv:2: temp_c: \"NaN\": type a plain number such as 46.2"},
	{"hot place", "places", "place,temp_c\nLoft,70\n", "f.csv:2: temp_c: \"70\": must be -40 to 60 (is it °F?)"},
	{"humidity", "places", "place,humidity_pct\nLoft,101\n", "f.csv:2: humidity_pct: \"101\": must be 0 to 100"},
	{"place without name", "places", "place,temp_c\n,10\n", "f.csv:2: place: is blank: fill it in"},
	{"place twice", "places", "place,temp_c\nLoft,10\nLoft,11\n", "f.csv:3: place: \"Loft\": line 2 is about this place too: keep one"},
	{"same row twice", "places", "place,temp_c\nLoft,10\nBarn,10\nLoft ,10.0\n", "f.csv:4: the same row as line 2: take one out, or tell them apart by a note"},
	{"place's form", "vessels", vesselHeader + "A,cask,50,,,,Lo\tft,,,\n", "f.csv:2: place: \"Lo\\tft\": holds a character that cannot be printed"},

	{"check character", "vessels", vesselHeader + "7K4-M2Y,cask,50,,,,,,,\n", "f.csv:2: code: \"7K4-M2Y\": the last character does not fit the others: look at the label again and type the code once more"},
	{"code's form", "vessels", vesselHeader + "A#1,cask,50,,,,,,,\n", "f.csv:2: code: \"A#1\": holds '#': letters, digits, spaces and - _ . / are allowed"},
	{"kind", "vessels", vesselHeader + "A,barrel,50,,,,,,,\n", "f.csv:2: kind: \"barrel\": use cask, hybrid, jar or tank"},
	{"kind and number", "vessels", vesselHeader + "A,barrel,x,,,,,,,\n", "f.csv:2: capacity_l: \"x\": type a plain number such as 46.2\nf.csv:2: kind: \"barrel\": use cask, hybrid, jar or tank"},
	{"no capacity", "vessels", vesselHeader + "A,cask,,,,,,,,\n", "f.csv:2: capacity_l: is blank: say how many litres it holds"},
	{"capacity 0", "vessels", vesselHeader + "A,cask,0,,,,,,,\n", "f.csv:2: capacity_l: \"0\": must be above 0 and at most 1000000"},
	{"wood state", "vessels", vesselHeader + "A,cask,50,oak,old,,,,,\n", "f.csv:2: wood_state: \"old\": use new or used, or leave it blank"},
	{"tare", "vessels", vesselHeader + "A,cask,50,,,,,-1,,\n", "f.csv:2: tare_kg: \"-1\": must be above 0 and at most 1000000"},

	{"batch without name", "batches", batchHeader + ",2020-01-01,10,60,,,\n", "f.csv:2: batch: is blank: fill it in"},
	{"made in future", "batches", batchHeader + "R,2024-06-02,10,60,,,\n", "f.csv:2: made_on: \"2024-06-02\": lies in the future"},
	{"made on no day", "batches", batchHeader + "R,2023-02-29,10,60,,,\n", "f.csv:2: made_on: \"2023-02-29\": there is no such date"},
	{"made on day 0", "batches", batchHeader + "R,1970-01-01,10,60,,,\n", "f.csv:2: made_on: \"1970-01-01\": the book takes this one date for a blank: write the day before or after"},
	{"made on words", "batches", batchHeader + "R,1 Feb 2023,10,60,,,\n", "f.csv:2: made_on: \"1 Feb 2023\": write a date as 2024-03-31"},
	{"batch volume", "batches", batchHeader + "R,2023-02-01,0,60,,,\n", "f.csv:2: volume_l: \"0\": must be above 0 and at most 1000000"},
	{"batch strength", "batches", batchHeader + "R,2023-02-01,10,101,,,\n", "f.csv:2: strength_pct: \"101\": must be 0 to 100 (is it proof?)"},
	{"grain without share", "batches", batchHeader + "R,,,,rye,,\n", "f.csv:2: grains: \"rye\": write a name and a share from 0 to 1 for each, as rye:0.6;barley:0.4"},
	{"grain share", "batches", batchHeader + "R,,,,rye:60,,\n", "f.csv:2: grains: \"rye:60\": the share of rye must be 0 to 1"},
	{"grain comma", "batches", batchHeader + "R,,,,\"rye:0,6\",,\n", "f.csv:2: grains: \"rye:0,6\": the share of rye, \"0,6\": use a point as the decimal mark, and nothing between thousands"},
	{"grain twice", "batches", batchHeader + "R,,,,rye:0.5;rye:0.5,,\n", "f.csv:2: grains: \"rye:0.5;rye:0.5\": rye is there twice"},
	{"grain sum", "batches", batchHeader + "R,,,,rye:0.7;oat:0.7,,\n", "f.csv:2: grains: \"rye:0.7;oat:0.7\": the shares add up to more than 1"},

	{"kind of entry", "entries", entryHeader + "2024-01-01,boil,A,,,,,,,,\n", "f.csv:2: entry: \"boil\": not a kind of entry for a file: use one of fill, sample, draw, top_up, transfer, empty, note, spill, reduce"},
	{"no date", "entries", entryHeader + ",fill,A,,50,,60,,,,\n", "f.csv:2: when: is blank: say when it happened"},
	{"date's form", "entries", entryHeader + "31.12.2023,fill,A,,50,,60,,,,\n", "f.csv:2: when: \"31.12.2023\": write a date as 2024-03-31 or a time as 2024-03-31T14:30:00+02:00"},
	{"no such day", "entries", entryHeader + "2023-02-29,fill,A,,50,,60,,,,\n", "f.csv:2: when: \"2023-02-29\": there is no such date"},
	{"no such time", "entries", entryHeader + "2023-02-28T24:01:00Z,fill,A,,50,,60,,,,\n", "f.csv:2: when: \"2023-02-28T24:01:00Z\": there is no such time"},
	{"future", "entries", entryHeader + "2024-06-02,fill,A,,50,,60,,,,\n", "f.csv:2: when: \"2024-06-02\": lies in the future"},
	{"long ago", "entries", entryHeader + "1823-06-02,fill,A,,50,,60,,,,\n", "f.csv:2: when: \"1823-06-02\": before 1900: is the year right?"},
	{"no vessel", "entries", entryHeader + "2024-01-01,fill,,,50,,60,,,,\n", "f.csv:2: vessel: is blank: say which vessel"},
	{"strength", "entries", entryHeader + "2024-01-01,fill,A,,50,,124,,,,\n", "f.csv:2: strength_pct: \"124\": must be 0 to 100 (is it proof?)"},
	{"below nothing", "entries", entryHeader + "2024-01-01,draw,A,,-1,,,,,,\n", "f.csv:2: volume_l: \"-1\": must be above 0 and at most 1000000"},
	{"temperature", "entries", entryHeader + "2024-01-01,sample,A,,,59,,60,,,\n", "f.csv:2: temp_c: \"59\": must be -20 to 40 (is it °F?)"},
	{"raw without temperature", "entries", entryHeader + "2024-01-01,sample,A,,,,,60,,,\n", "f.csv:2: temp_c: is blank: a raw reading needs the temperature of the liquid"},
	{"two strengths", "entries", entryHeader + "2024-01-01,sample,A,,,12,60,60,,,\n", "f.csv:2: reading_pct: \"60\": give strength_pct, which is corrected, or reading_pct with temp_c, not both"},
	{"lost value", "entries", entryHeader + "2024-01-01,fill,A,R,50,,60,,,5,\n", "f.csv:2: drawn_l: \"5\": a fill does not use this: leave it blank"},
	{"entry twice", "entries", entryHeader + "2024-01-01,sample,A,,,,60,,,,\n2024-01-01T00:00:00Z,sample,A,,,,60.0,,,,\n", "f.csv:3: the same row as line 2: take one out, or tell them apart by a note"},
	{"every cell", "entries", entryHeader + "2024-13-01,boil,A,,1.2.3,99,-1,,,,\n", "f.csv:2: when: \"2024-13-01\": there is no such date\n" +
		"f.csv:2: volume_l: \"1.2.3\": there is more than one point; leave out marks between thousands\n" +
		"f.csv:2: temp_c: \"99\": must be -20 to 40 (is it °F?)\n" +
		"f.csv:2: strength_pct: \"-1\": must be 0 to 100 (is it proof?)\n" +
		"f.csv:2: entry: \"boil\": not a kind of entry"},
	{"long note", "entries", entryHeader + "2024-01-01,note,A,,,,,,,," + strings.Repeat("é", 2001) + "\n", "f.csv:2: note: \"" + strings.Repeat("é", 60) + "…\": longer than 2000 characters"},
}

func filesOf(kind, text string) exchange.Files {
	f := file("f.csv", text)
	return map[string]exchange.Files{
		"vessels": {Vessels: f}, "places": {Places: f}, "batches": {Batches: f}, "entries": {Entries: f},
	}[kind]
}

func TestRefusals(t *testing.T) {
	for _, c := range refusals {
		t.Run(c.name, func(t *testing.T) {
			got := strings.Split(lines(read(t, filesOf(c.kind, c.text)).Problems), "\n")
			want := strings.Split(c.want, "\n")
			if len(got)-1 != len(want) {
				t.Fatalf("got\n%s\nwant\n%s", strings.Join(got, "\n"), c.want)
			}
			for i := range want {
				if !strings.HasPrefix(got[i], want[i]) {
					t.Errorf("got\n%s\nwant\n%s", got[i], want[i])
				}
			}
		})
	}
}

// TestGoodRowsBesideBadOnes holds reading to going on after a bad row of any sort.
func TestGoodRowsBesideBadOnes(t *testing.T) {
	set := readEntries(t, "\xef\xbb\xbf"+entryHeader+
		"2024-01-01,sample,A,,,,60,,,,one\n"+
		"2024-01-01,sample,A,,,\n"+
		"2024-01-01,sample,A,,,,61,,,,\"two\"x\n"+
		"2024-01-01,sample,A,,,,sixty,,,,\n"+
		"\n"+
		",,,,,,,,,,\n"+
		"2024-01-02,sample,A,,,,60,,,,\"two\nlines\"\n"+
		"2024-01-03,sample,A,,,,-4,,,,\n")
	if len(set.Entries) != 2 || set.Entries[1].Line != 8 {
		t.Errorf("kept %+v", set.Entries)
	}
	var at []int
	for _, p := range set.Problems {
		at = append(at, p.Line)
	}
	if want := []int{3, 4, 5, 10}; !slices.Equal(at, want) {
		t.Errorf("problems on lines %v, want %v:\n%s", at, want, lines(set.Problems))
	}
}
