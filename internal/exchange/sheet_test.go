package exchange_test

import (
	"bytes"
	"testing"

	"github.com/xuri/excelize/v2"

	"example.org/croze/internal/book"
	"example.org/croze/internal/exchange"
	"example.org/croze/internal/loss"
)

var stock = []book.StockLine{
	{
		Vessel: "2A2-A2C", On: "2024-06-01", Kind: "cask", Place: "=cmd()", VolumeL: 45.123456, VolumeSDL: 0.2, StrengthPct: 61.5, StrengthSD: 0.1,
		PureAlcoholL: 27.75, AgeDays: 700, YoungestDays: 690, LossPctPerYear: 2.5, DriftPerYear: -0.00001, CapacityL: 50, Wood: "oak", WoodState: "new",
		Batches: map[string]float64{"R1": 1.0 / 3, "A1": 2.0 / 3}, BookL: 46, FilledOn: "2022-06-01", Flags: []string{"no_volume_gauged", "prior_only"},
	},
	{Vessel: "TANK 1", On: "2024-06-01", Kind: "tank", CapacityL: 500, Flags: []string{loss.FlagEmpty}},
}

func TestStockAsCSV(t *testing.T) {
	var b bytes.Buffer
	if err := exchange.Stock(stock).WriteCSV(&b); err != nil {
		t.Fatal(err)
	}
	const want = "vessel,maker_code,on,kind,capacity_l,wood,wood_state,place,volume_l,volume_sd_l,strength_pct,strength_sd,pure_alcohol_l,age_days,youngest_days,loss_pct_per_year,drift_pct_per_year,book_volume_l,filled_on,sampled_on,batches,grains,flags\n" +
		"2A2-A2C,,2024-06-01,cask,50,oak,new,'=cmd(),45.1235,0.2,61.5,0.1,27.75,700,690,2.5,0,46,2022-06-01,,A1:0.6667;R1:0.3333,,no_volume_gauged;prior_only\n" +
		"TANK 1,,2024-06-01,tank,500,,,,,,,,,,,,,,,,,,empty\n"
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

func TestForecastAsCSV(t *testing.T) {
	var b bytes.Buffer
	line := book.ForecastLine{Vessel: "B", At: "2027-01-01", VolumeL: 40, VolumeSDL: 1, VolumeLoL: 38.4, VolumeHiL: 41.6, StrengthPct: 60, StrengthSD: 0.2, StrengthLoPct: 59.7, StrengthHiPct: 60.3, PureAlcoholL: 24, Flags: []string{"leak_suspected"}}
	if err := exchange.Forecast([]book.ForecastLine{line}).WriteCSV(&b); err != nil {
		t.Fatal(err)
	}
	const want = "vessel,at,volume_l,volume_sd_l,volume_lo_l,volume_hi_l,strength_pct,strength_sd,strength_lo_pct,strength_hi_pct,pure_alcohol_l,flags\n" +
		"B,2027-01-01,40,1,38.4,41.6,60,0.2,59.7,60.3,24,leak_suspected\n"
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

func TestStockAsWorkbook(t *testing.T) {
	var one, two bytes.Buffer
	for _, b := range []*bytes.Buffer{&one, &two} {
		if err := exchange.Stock(stock).WriteXLSX(b); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(one.Bytes(), two.Bytes()) {
		t.Error("the same stock gives other bytes")
	}
	f, err := excelize.OpenReader(&one)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	cell := func(at string) string {
		text, err := f.GetCellValue("Stock", at)
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	for at, want := range map[string]string{"A1": "vessel", "A2": "2A2-A2C", "H2": "=cmd()", "I2": "45.1235", "N2": "700", "A3": "TANK 1", "I3": "", "W3": "empty"} {
		if got := cell(at); got != want {
			t.Errorf("%s holds %q, want %q", at, got, want)
		}
	}
	if formula, err := f.GetCellFormula("Stock", "H2"); err != nil || formula != "" {
		t.Errorf("the place became the formula %q (%v)", formula, err)
	}
	if kind, err := f.GetCellType("Stock", "I2"); err != nil || kind == excelize.CellTypeInlineString || kind == excelize.CellTypeSharedString {
		t.Errorf("the volume is no number: type %v (%v)", kind, err)
	}
}
