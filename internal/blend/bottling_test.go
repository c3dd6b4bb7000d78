package blend

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/croze/internal/published"
	"example.org/croze/internal/spirit"
)

// figure is a column of an upper bound: where nothing is printed there is none.
func figure(t *testing.T, text string) float64 {
	t.Helper()
	if text == "" {
		return math.Inf(1)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestTolerableErrors holds the table in the code against the published rows
// (UK SI 2006/659; that Directive 76/211/EEC has the same is from memory), at
// the top of each step and just above the one below it. Exact: it is law.
func TestTolerableErrors(t *testing.T) {
	for _, row := range published.Rows(t, "tolerable_negative_error.csv") {
		over, upTo := figure(t, row["quantity_over_g_or_mL"]), math.Min(figure(t, row["quantity_up_to_g_or_mL"]), 20_000)
		for _, nominal := range []float64{over + 1, (over + upTo) / 2, upTo} {
			want := 0.0
			if row["tne_percent"] != "" {
				want = math.Ceil(nominal*figure(t, row["tne_percent"])/100*10-1e-9) / 10
			} else {
				want = figure(t, row["tne_absolute_g_or_mL"])
			}
			if got := TolerableError(nominal); !near(got, want, 1e-9) {
				t.Errorf("%g mL: %g, published %g (%s)", nominal, got, want, row["source"])
			}
		}
	}
	// 3 % of 333 mL is 9.99: rounded up to a tenth.
	if got := TolerableError(333); !near(got, 10, 1e-9) {
		t.Errorf("333 mL: %g", got)
	}
}

// TestContainerErrors does so for measuring container bottles (Directive
// 75/107/EEC as in UK SI 2019/696).
func TestContainerErrors(t *testing.T) {
	for _, row := range published.Rows(t, "measuring_container_error.csv") {
		over, upTo := figure(t, row["quantity_over_mL"]), figure(t, row["quantity_up_to_mL"])
		for _, nominal := range []float64{over + 1, (over + upTo) / 2, upTo} {
			want := 0.0
			if row["max_error_percent"] != "" {
				want = nominal * figure(t, row["max_error_percent"]) / 100
			} else {
				want = figure(t, row["max_error_mL"])
			}
			if got, err := ContainerError(nominal); err != nil || !near(got, want, 1e-9) {
				t.Errorf("%g mL: %g, published %g (%s), %v", nominal, got, want, row["source"], err)
			}
		}
	}
	if _, err := ContainerError(20); err == nil {
		t.Error("a bottle of 20 mL has no rule")
	}
}

// TestBottle: 30 L at 46 %, 0.3 L stay in the lines. 24 bottles of 700 mL take
// 16.8 L, of the 12.9 L left 64 half-bottles of 200 mL take 12.8: a heel of 0.1 L.
func TestBottle(t *testing.T) {
	b, err := Bottle(Lot{30, 46.04, 0.1}, []Size{{700, 24}, {200, 0}}, Filler{RoomC: 12, LinesL: 0.3})
	if err != nil {
		t.Fatal(err)
	}
	if b.Runs[0].Count != 24 || b.Runs[1].Count != 64 || !near(b.HeelL, 0.1, 1e-9) {
		t.Errorf("got %+v", b)
	}
	// In a cold room 700 mL take less room, and weigh the same.
	a, err := spirit.AmountOf(0.7, 46.04)
	if err != nil {
		t.Fatal(err)
	}
	cold, err := a.VolumeAt(12)
	if err != nil || !near(b.Runs[0].FillRoomMl, 1000*float64(cold), 2e-3) || b.Runs[0].FillRoomMl > 700 {
		t.Errorf("fill at 12 °C is %g, spirit has %g, %v", b.Runs[0].FillRoomMl, 1000*float64(cold), err)
	}
	if b.Label.LabelPct != 46 || !b.Label.Within || !near(*b.Label.Chance, normal(2.6)-normal(-3.4), 1e-9) {
		t.Errorf("label %+v", b.Label)
	}
	if b.Runs[0].ErrorMl != 15 || !near(b.Runs[0].WeighsG, 1000*float64(a.Mass())*0.99882, 0.1) {
		t.Errorf("got %+v", b.Runs[0])
	}
	// A filler that spreads by 8 mL must aim high: 700 - 15 + 1.96·8 = 700.68;
	// one that spreads by 10 mL higher still, for 700 - 30 + 3.719·10 = 707.19.
	for _, c := range []struct{ sd, want float64 }{{8, 700.6797}, {10, 707.1902}} {
		if got := MeanFill(700, c.sd); !near(got, c.want, 1e-4) {
			t.Errorf("mean fill %g for a spread of %g mL", got, c.sd)
		}
	}
	if got := MeanFill(700, 3); got != 700 {
		t.Errorf("mean fill %g", got)
	}
	if _, err := Bottle(Lot{30, 46, 0}, nil, Filler{}); err == nil || !strings.Contains(err.Error(), "sizes: has 0 sizes") {
		t.Errorf("no sizes: %v", err)
	}
}

func TestCheckLabel(t *testing.T) {
	for _, c := range []struct {
		pct, label float64
		within     bool
	}{{45.7, 46, true}, {45.69, 46, false}, {46.3, 46, true}, {46.31, 46, false}} {
		if l, err := CheckLabel(c.pct, 0, c.label); err != nil || l.Within != c.within || l.Chance != nil {
			t.Errorf("%+v: %+v, %v", c, l, err)
		}
	}
	if l, err := LabelStrength(43.25, 0); err != nil || l.LabelPct != 43.3 {
		t.Errorf("%+v, %v", l, err)
	}
	if _, err := LabelStrength(146, 0); err == nil {
		t.Error("146 % was put on a label")
	}
}

func TestCheckFills(t *testing.T) {
	good := make([]float64, 80)
	for i := range good {
		good[i] = 701
	}
	good[3], good[40] = 684, 684.9 // two of eighty may be short
	if f, err := CheckFills(700, good); err != nil || !f.Passes || f.Short != 2 || f.ShortLimit != 2 {
		t.Errorf("%+v, %v", f, err)
	}
	good[5] = 684
	if f, err := CheckFills(700, good); err != nil || f.Passes {
		t.Errorf("three short: %+v, %v", f, err)
	}
	if f, err := CheckFills(700, []float64{720, 669.9}); err != nil || f.Passes || f.VeryShort != 1 {
		t.Errorf("very short: %+v, %v", f, err)
	}
	if f, err := CheckFills(700, []float64{699.9, 699.9}); err != nil || f.Passes {
		t.Errorf("mean: %+v, %v", f, err)
	}
	if _, err := CheckFills(700, nil); err == nil {
		t.Error("no fills passed")
	}
}

func TestAgeStatement(t *testing.T) {
	for _, c := range []struct{ from, to, words string }{
		{"2019-05-04", "2023-05-04", "4 years"},
		{"2019-05-04", "2023-05-03", "3 years"},
		{"2020-02-29", "2024-02-28", "3 years"},
		{"2020-02-29", "2024-02-29", "4 years"},
		{"2020-02-29", "2021-02-28", "11 months"},
		{"2020-02-29", "2021-03-01", "1 year"},
		{"2023-01-31", "2023-02-28", "0 months"},
		{"2023-01-31", "2023-03-01", "1 month"},
		{"2023-12-15", "2024-01-14", "0 months"},
		{"2023-12-15", "2023-12-15", "0 months"},
	} {
		from, err := time.Parse(time.DateOnly, c.from)
		if err != nil {
			t.Fatal(err)
		}
		to, err := time.Parse(time.DateOnly, c.to)
		if err != nil {
			t.Fatal(err)
		}
		if a, err := AgeStatement(from, to); err != nil || a.Words != c.words {
			t.Errorf("%s to %s: %+v, %v, wanted %s", c.from, c.to, a, err, c.words)
		}
		if c.from != c.to {
			if _, err := AgeStatement(to, from); err == nil {
				t.Errorf("%s to %s was counted backwards", c.to, c.from)
			}
		}
	}
}
