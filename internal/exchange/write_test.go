package exchange_test

import (
	"bytes"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/exchange"
	"example.org/croze/internal/spirit"
)

// The generators make values that the cellar takes; rapid prints the seed of a
// failing run.

var (
	names    = rapid.StringMatching(`[A-Za-z0-9=+@'éß"][A-Za-z0-9 =+@',;:"éß-]{0,20}[A-Za-z0-9é"]`)
	codes    = rapid.StringMatching(`[A-Z]{2}[0-9]{1,3}`)
	notes    = rapid.StringMatching(`([=+@'x"-][ -~é\n]{0,40}[!-~é])?`)
	whole    = rapid.Float64Range(0.001, 9999)
	percents = measurable(0, 100)
)

// measurable keeps away from numbers that nothing in a cellar can have.
func measurable(low, high float64) *rapid.Generator[float64] {
	return rapid.Map(rapid.Float64Range(low, high), func(x float64) float64 {
		if math.Abs(x) < 1e-6 {
			return 0
		}
		return x
	})
}

func maybe(x *rapid.Generator[float64]) *rapid.Generator[*float64] {
	return rapid.Custom(func(t *rapid.T) *float64 {
		if !rapid.Bool().Draw(t, "given") {
			return nil
		}
		v := x.Draw(t, "value")
		return &v
	})
}

var vessels = rapid.Custom(func(t *rapid.T) cellar.Vessel {
	return cellar.Vessel{
		Code:       codes.Draw(t, "code"),
		Kind:       rapid.SampledFrom(cellar.VesselKinds).Draw(t, "kind"),
		CapacityL:  spirit.Litres(whole.Draw(t, "capacity")),
		Wood:       names.Draw(t, "wood"),
		WoodState:  rapid.SampledFrom([]cellar.WoodState{"", cellar.NewWood, cellar.UsedWood}).Draw(t, "state"),
		WoodAreaM2: rapid.SampledFrom([]float64{0, 0.25, 1.0 / 3}).Draw(t, "area"),
		Place:      names.Draw(t, "place"),
		TareKg:     spirit.Kilograms(whole.Draw(t, "tare")),
		MakerCode:  names.Draw(t, "maker's code"),
		Note:       notes.Draw(t, "note"),
	}
})

var batches = rapid.Custom(func(t *rapid.T) cellar.Batch {
	return cellar.Batch{
		Name:        names.Draw(t, "batch"),
		MadeOn:      cellar.Day(rapid.IntRange(-20_000, 19_000).Filter(func(day int) bool { return day != 0 }).Draw(t, "made on")),
		VolumeL:     spirit.Litres(whole.Draw(t, "volume")),
		StrengthPct: spirit.Strength(percents.Draw(t, "strength")),
		Grains: rapid.SampledFrom([]map[string]float64{
			nil, {"rye": 1}, {"rye": 0.6, "barley": 0.4}, {"oat": 1.0 / 3, "=rye": 0.5},
		}).Draw(t, "grains"),
		Yeast: names.Draw(t, "yeast"),
		Note:  notes.Draw(t, "note"),
	}
})

var entries = rapid.Custom(func(t *rapid.T) cellar.Request {
	q := cellar.Request{
		When:   time.Unix(rapid.Int64Range(-2_000_000_000, now.Unix()).Draw(t, "when"), 0).In(time.FixedZone("", 60*rapid.IntRange(-600, 600).Draw(t, "zone"))),
		Entry:  rapid.SampledFrom([]string{"sample", "draw", "empty", "spill", "fill"}).Draw(t, "entry"),
		Vessel: codes.Draw(t, "vessel"),
		TempC:  maybe(measurable(-20, 40)).Draw(t, "temperature"),
		Note:   notes.Draw(t, "note"),
	}
	if rapid.Bool().Draw(t, "whole day") {
		q.When = q.When.UTC().Truncate(24 * time.Hour)
	}
	q.VolumeL = maybe(whole).Draw(t, "volume")
	q.StrengthPct = maybe(percents).Draw(t, "strength")
	q.GrossKg = maybe(whole).Draw(t, "gross")
	if q.StrengthPct == nil && q.TempC != nil {
		q.ReadingPct = maybe(percents).Draw(t, "reading")
	}
	if q.Entry == "fill" {
		q.From = names.Draw(t, "from")
	} else {
		q.DrawnL = maybe(whole).Draw(t, "drawn")
	}
	return q
})

func valuesOf[T any](rows []book.Row[T]) []T {
	out := make([]T, 0, len(rows))
	for _, r := range rows {
		out = append(out, r.Value)
	}
	return out
}

// roundTrip writes values, reads them and wants the same.
func roundTrip[T any](t *rapid.T, values []T, write func(*bytes.Buffer) error, read func(*exchange.File) (book.ImportSet, []T)) {
	var text bytes.Buffer
	if err := write(&text); err != nil {
		t.Fatal(err)
	}
	set, got := read(file("f.csv", text.String()))
	if len(set.Problems) > 0 {
		t.Fatalf("refused:\n%s\nin\n%s", lines(set.Problems), text.String())
	}
	if !reflect.DeepEqual(got, values) {
		t.Fatalf("got\n%+v\nwant\n%+v\nfrom\n%s", got, values, text.String())
	}
}

func TestWritingThenReadingGivesTheSame(t *testing.T) {
	mustRead := func(t *rapid.T, files exchange.Files) book.ImportSet {
		set, err := exchange.Read(files, now)
		if err != nil {
			t.Fatal(err)
		}
		return set
	}
	t.Run("vessels", rapid.MakeCheck(func(t *rapid.T) {
		values := rapid.SliceOfNDistinct(vessels, 1, 5, func(v cellar.Vessel) string { return v.Code }).Draw(t, "vessels")
		roundTrip(t, values, func(b *bytes.Buffer) error { return exchange.WriteVessels(b, values) },
			func(f *exchange.File) (book.ImportSet, []cellar.Vessel) {
				set := mustRead(t, exchange.Files{Vessels: f})
				return set, valuesOf(set.Vessels)
			})
	}))
	t.Run("batches", rapid.MakeCheck(func(t *rapid.T) {
		values := rapid.SliceOfNDistinct(batches, 1, 5, func(b cellar.Batch) string { return b.Name }).Draw(t, "batches")
		roundTrip(t, values, func(b *bytes.Buffer) error { return exchange.WriteBatches(b, values) },
			func(f *exchange.File) (book.ImportSet, []cellar.Batch) {
				set := mustRead(t, exchange.Files{Batches: f})
				return set, valuesOf(set.Batches)
			})
	}))
	t.Run("places", rapid.MakeCheck(func(t *rapid.T) {
		value := []cellar.Place{{
			Name: names.Draw(t, "place"), TempC: maybe(measurable(-40, 60)).Draw(t, "temperature"),
			HumidityPct: maybe(percents).Draw(t, "humidity"),
		}}
		roundTrip(t, value, func(b *bytes.Buffer) error { return exchange.WritePlaces(b, value) },
			func(f *exchange.File) (book.ImportSet, []cellar.Place) {
				set := mustRead(t, exchange.Files{Places: f})
				return set, valuesOf(set.Places)
			})
	}))
	t.Run("entries", rapid.MakeCheck(func(t *rapid.T) {
		value := []cellar.Request{entries.Draw(t, "entry")}
		var text bytes.Buffer
		if err := exchange.WriteEntries(&text, value); err != nil {
			t.Fatal(err)
		}
		set := mustRead(t, exchange.Files{Entries: file("f.csv", text.String())})
		if len(set.Entries) != 1 {
			t.Fatalf("refused:\n%s\nin\n%s", lines(set.Problems), text.String())
		}
		got := set.Entries[0].Value
		if !got.When.Equal(value[0].When) || cellar.DayOf(got.When) != cellar.DayOf(value[0].When) {
			t.Fatalf("%s was read as %s", value[0].When, got.When)
		}
		got.When = value[0].When
		if !reflect.DeepEqual(got, value[0]) {
			t.Fatalf("got\n%+v\nwant\n%+v\nfrom\n%s", got, value[0], text.String())
		}
	}))
}

// TestFormulasAreDefused: what a person may write must not run when the file is
// opened in a spreadsheet.
func TestFormulasAreDefused(t *testing.T) {
	for _, text := range []string{"=1+1", "+1", "-1", "@A1", "\t=1", "'=1", "''-x"} {
		var b bytes.Buffer
		sheet := exchange.Sheet{Name: "S", Columns: []string{"note"}, Rows: [][]any{{text}}}
		if err := sheet.WriteCSV(&b); err != nil {
			t.Fatal(err)
		}
		cell := strings.Trim(strings.TrimPrefix(b.String(), "note\n"), "\"\n")
		if !strings.HasPrefix(cell, "'") {
			t.Errorf("%q is written as %q", text, cell)
		}
	}
	for _, text := range []string{"plain", "'tis oak", "5", "a=b"} {
		var b bytes.Buffer
		sheet := exchange.Sheet{Name: "S", Columns: []string{"note"}, Rows: [][]any{{text}}}
		if err := sheet.WriteCSV(&b); err != nil {
			t.Fatal(err)
		}
		if b.String() != "note\n"+text+"\n" {
			t.Errorf("%q is written as %q", text, b.String())
		}
	}
}
