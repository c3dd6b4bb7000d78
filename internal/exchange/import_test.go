package exchange_test

import (
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/exchange"
)

var now = time.Date(2024, 6, 1, 12, 0, 0, 0, time.UTC)

func file(name, text string) *exchange.File {
	return &exchange.File{Name: name, Data: strings.NewReader(text)}
}

func read(t *testing.T, files exchange.Files) book.ImportSet {
	t.Helper()
	set, err := exchange.Read(files, now)
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// readEntries reads entries.csv alone.
func readEntries(t *testing.T, text string) book.ImportSet {
	t.Helper()
	return read(t, exchange.Files{Entries: file("entries.csv", text)})
}

func lines(problems []book.RowProblem) string {
	var b strings.Builder
	for _, p := range problems {
		b.WriteString(p.String() + "\n")
	}
	return b.String()
}

func TestReadsEveryColumn(t *testing.T) {
	issued := cellar.IssueCode(0)
	set := read(t, exchange.Files{
		Vessels: file("vessels.csv", "note,kind,code,capacity_l,wood,wood_state,wood_area_m2,place,tare_kg,maker_code\n"+
			"\"two\nlines\",cask,"+strings.ToLower(issued)+",50.5,oak,new,0.9,North bay,14.2,M 12\n"+
			",jar,,20,,,,,,\n"),
		Places:  file("places.csv", "place,temp_c,humidity_pct\nNorth bay,-3.5,80\nLoft,,\n"),
		Batches: file("batches.csv", "batch,made_on,volume_l,strength_pct,grains,yeast,note\nR1,2020-02-29,60,62.5,rye:0.6; barley:0.4,farm,first\n"),
		Entries: file("entries.csv", "when,entry,vessel,from,volume_l,temp_c,strength_pct,reading_pct,gross_kg,drawn_l,note\n"+
			"2020-03-01T10:00:00+02:00,fill,"+issued+",R1,50,12,,61,,,\n"+
			"2021-03-01,sample,"+issued+",,,,60.1,,55.5,0.2,clear\n"),
	})
	if len(set.Problems) > 0 {
		t.Fatalf("refused:\n%s", lines(set.Problems))
	}
	v := set.Vessels[0].Value
	if v.Code != issued || v.Kind != cellar.Cask || v.CapacityL != 50.5 || v.Wood != "oak" || v.WoodState != cellar.NewWood ||
		v.WoodAreaM2 != 0.9 || v.Place != "North bay" || v.TareKg != 14.2 || v.MakerCode != "M 12" || v.Note != "two\nlines" {
		t.Errorf("vessel read as %+v", v)
	}
	if set.Vessels[1].Line != 4 {
		t.Errorf("the row after one of two lines is on line %d, want 4", set.Vessels[1].Line)
	}
	if p := set.Places[0].Value; *p.TempC != -3.5 || *p.HumidityPct != 80 || set.Places[1].Value.TempC != nil {
		t.Errorf("places read as %+v", set.Places)
	}
	b := set.Batches[0].Value
	if b.MadeOn.String() != "2020-02-29" || b.VolumeL != 60 || b.StrengthPct != 62.5 || b.Grains["rye"] != 0.6 || b.Grains["barley"] != 0.4 || b.Yeast != "farm" {
		t.Errorf("batch read as %+v", b)
	}
	fill, sample := set.Entries[0].Value, set.Entries[1].Value
	if fill.When.Format(time.RFC3339) != "2020-03-01T10:00:00+02:00" || fill.From != "R1" || *fill.VolumeL != 50 || *fill.TempC != 12 || *fill.ReadingPct != 61 || fill.StrengthPct != nil {
		t.Errorf("fill read as %+v", fill)
	}
	if *sample.StrengthPct != 60.1 || *sample.GrossKg != 55.5 || *sample.DrawnL != 0.2 || sample.Note != "clear" {
		t.Errorf("sample read as %+v", sample)
	}
}
