package spirit

import (
	"fmt"
	"regexp"
	"strconv"
	"testing"

	"example.org/croze/internal/published"
)

var coefficientName = regexp.MustCompile(`^([ABC])(\d+)(?:,(\d+))?$`)

// All 54 coefficients, exact: three copies of OIML R 22 agree.
func TestCoefficientsOfR22(t *testing.T) {
	rows := published.Rows(t, "oiml_r22_coefficients.csv")
	seen := [12][7]bool{}
	for _, r := range rows {
		part := coefficientName.FindStringSubmatch(r["symbol"])
		if part == nil {
			t.Fatalf("symbol %q", r["symbol"])
		}
		first, _ := strconv.Atoi(part[2])
		second, _ := strconv.Atoi(part[3])
		power, degree := 0, 0 // of the mass fraction and of the temperature
		switch part[1] {
		case "A":
			power = first - 1
		case "B":
			degree = first
		case "C":
			degree, power = first, second
		}
		seen[power][degree] = true
		if got, want := r22[power][degree], r.Number(t, "value"); got != want {
			t.Errorf("%s = %v, want %v", r["symbol"], got, want)
		}
	}
	if len(rows) != 54 {
		t.Errorf("%d coefficients, want 54", len(rows))
	}
	for i := range seen {
		for k := range seen[i] {
			if !seen[i][k] && r22[i][k] != 0 {
				t.Errorf("r22[%d][%d] = %v has no published coefficient", i, k, r22[i][k])
			}
		}
	}
}

// Simmonds 1919, repeating the US Bureau of Standards. 0.00012 g/cm³, because
// OIML R 22 rests on later measurements and differs from the older by that.
func TestDensityOfSimmonds(t *testing.T) {
	for _, r := range published.Rows(t, "ethanol_water_density.csv") {
		p := MassFraction(r.Number(t, "pct_weight") / 100)
		for _, at := range []Celsius{10, 15, 20, 25, 30, 35, 40} {
			want := r.Number(t, fmt.Sprintf("density_g_per_cm3_%.0fC", float64(at)))
			got := must[Density](t)(DensityOf(p, at))
			near(t, fmt.Sprintf("density of %s %% weight at %v °C", r["pct_weight"], at), float64(got)/1000, want, 0.00012)
			back := must[MassFraction](t)(MassFractionOf(Density(want*1000), at))
			// The same 0.12 kg/m³ over the flattest slope of these rows, 210 kg/m³.
			near(t, fmt.Sprintf("mass fraction of %v g/cm³ at %v °C", want, at), float64(back), float64(p), 0.12/210)
		}
	}
}

// USP 29, after the Bulletin of the Bureau of Standards, volume 9. 0.0001 in
// gravity and 0.01 % vol: a unit of the last digit printed.
func TestAlcoholometricTableOfUSP(t *testing.T) {
	for _, r := range published.Rows(t, "usp_by_weight.csv") {
		p := MassFraction(r.Number(t, "pct_weight") / 100)
		what := r["pct_weight"] + " % weight: "
		byVolume := must[Proof](t)(p.Proof()) / 2
		near(t, what+"% vol at 60 °F", float64(byVolume), r.Number(t, "pct_vol_at_15.56C"), 0.01)
		at25 := must[float64](t)(GravityInAir(p, 25, 25))
		near(t, what+"gravity 25/25 °C", at25, r.Number(t, "sg_air_25_25"), 0.0001)
		if r["sg_air_15.56_15.56"] == "" { // the last row has none
			continue
		}
		at60F := must[float64](t)(GravityInAir(p, ProofBase, ProofBase))
		near(t, what+"gravity 60/60 °F", at60F, r.Number(t, "sg_air_15.56_15.56"), 0.0001)
	}
}

// Lange's Handbook, the density columns of the table of freezing points. Both
// sides are rounded in print, so the rounding of the one is carried to the
// other: half a unit of the last digit of % weight is 0.05 %. The % vol are
// at 60 °F: taken at 20 °C the rows below 15 % would miss their last digit.
func TestGravityOfLange(t *testing.T) {
	for _, r := range published.Rows(t, "freezing_points.csv") {
		percent := r.Number(t, "pct_weight")
		sg := r.Number(t, "sg_20_4")
		p := must[MassFraction](t)(MassFractionOfGravity(sg, 20, 4))
		near(t, r["sg_20_4"]+" at 20/4 °C, % weight", 100*float64(p), percent, 0.05)

		low := must[Proof](t)(MassFraction((percent - 0.05) / 100).Proof())
		high := must[Proof](t)(MassFraction((percent + 0.05) / 100).Proof())
		half := halfDigit(r["pct_vol"])
		if got := r.Number(t, "pct_vol"); got < float64(low)/2-half || got > float64(high)/2+half {
			t.Errorf("%s %% weight is %.3f to %.3f %% vol at 60 °F, printed %v", r["pct_weight"], low/2, high/2, got)
		}
	}
}

// halfDigit is half a unit of the last digit of a printed number.
func halfDigit(printed string) float64 {
	half := 0.5
	for i := len(printed) - 1; i >= 0 && printed[i] != '.'; i-- {
		half /= 10
		if i == 0 {
			return 0.5 // no point: a whole number
		}
	}
	return half
}

// US Gauging Manual, Table 6, by way of a dilution table: water for each 100
// volumes, all at 60 °F. 0.3 % of the printed value or a unit of its last digit.
func TestDilutionTable(t *testing.T) {
	for _, r := range published.Rows(t, "dilution_table.csv") {
		from, to := r.Number(t, "from_pct_vol"), r.Number(t, "to_pct_vol")
		want := r.Number(t, "water_volumes_per_100_volumes_printed")
		got := waterPer100At60F(t, Proof(2*from), Proof(2*to))
		within := max(0.003*want, 2*halfDigit(r["water_volumes_per_100_volumes_printed"]))
		near(t, fmt.Sprintf("water to bring 100 volumes from %v to %v %% vol", from, to), got, want, within)
	}
}

// waterPer100At60F reduces 100 volumes measured at 60 °F and measures the water there too.
func waterPer100At60F(t *testing.T, from, to Proof) float64 {
	t.Helper()
	p := must[MassFraction](t)(from.MassFraction())
	d := must[Density](t)(DensityOf(p, ProofBase))
	a := must[Amount](t)(AmountOfMass(Kilograms(100*d/1000), p))
	r := must[Reduction](t)(a.ReducedTo(must[Strength](t)(to.Strength())))
	water := must[Density](t)(DensityOf(0, ProofBase))
	return 1000 * float64(r.Water) / float64(water)
}

// Rows marked "compare" are not checks; each says why in its column why_not.
func TestHandbookRows(t *testing.T) {
	// 0.00012: OIML R 22 makes pure ethanol lighter than the older tables by that.
	// 0.02 %: the US gauging tables rest on the same older data.
	tests := map[string]struct {
		got    func(t *testing.T) float64
		within float64
	}{
		"sg absolute ethanol (Mendeleeff) 0/3.9 °C vacuum (from memory)": {ethanolGravity(Gravity, 0, 3.9), 0.00012},
		"sg absolute ethanol (Mendeleeff) 15.6/15.6 vacuum":              {ethanolGravity(Gravity, ProofBase, ProofBase), 0.00012},
		"sg absolute ethanol (Mendeleeff) 15.6/15.6 air":                 {ethanolGravity(GravityInAir, ProofBase, ProofBase), 0.00012},
		"sg absolute ethanol, US legal definition not stated":            {ethanolGravity(Gravity, ProofBase, ProofBase), 0.00012},
		"weight of one US gallon of water air":                           {poundsPerGallon(0), 0.0002 * 8.3},
		"wine gallons per pound of water air":                            {inverse(poundsPerGallon(0)), 0.0002 * 0.12},
		"weight per wine gallon 190 proof (lb) air":                      {poundsPerGallon(190), 0.0002 * 6.8},
		"wine gallons per pound 190 proof air":                           {inverse(poundsPerGallon(190)), 0.0002 * 0.147},
		"proof gallons per pound 190 proof air":                          {proofGallonsPerPound(190, 1), 0.0002 * 0.28},
		"proof gallons per 1000 lb 200 proof air":                        {proofGallonsPerPound(200, 1000), 0.0002 * 302},
	}
	checked := 0
	for _, r := range published.Rows(t, "density_misc.csv") {
		if r["use"] != "check" {
			if r["why_not"] == "" {
				t.Errorf("%s is not used and does not say why", r["quantity"])
			}
			continue
		}
		name := r["quantity"] + " " + r["air_or_vacuum"]
		test, ok := tests[name]
		if !ok {
			t.Errorf("no test for %q", name)
			continue
		}
		checked++
		near(t, name, test.got(t), r.Number(t, "value"), test.within)
	}
	if checked != len(tests) {
		t.Errorf("%d of %d rows checked", checked, len(tests))
	}
}

func ethanolGravity(in func(MassFraction, Celsius, Celsius) (float64, error), at, water Celsius) func(*testing.T) float64 {
	return func(t *testing.T) float64 { return must[float64](t)(in(1, at, water)) }
}

const kilogramsPerPound = 0.45359237

// poundsPerGallon is what a US gallon of spirit at 60 °F weighs in air.
func poundsPerGallon(q Proof) func(*testing.T) float64 {
	return func(t *testing.T) float64 {
		p := must[MassFraction](t)(q.MassFraction())
		d := must[Density](t)(DensityOf(p, ProofBase))
		shown := must[Kilograms](t)(WeighedOfMass(Kilograms(LitresPerGallon*d/1000), d))
		return float64(shown) / kilogramsPerPound
	}
}

func inverse(f func(*testing.T) float64) func(*testing.T) float64 {
	return func(t *testing.T) float64 { return 1 / f(t) }
}

// proofGallonsPerPound goes the whole way of the books: weight in air to mass, mass to Amount.
func proofGallonsPerPound(q Proof, pounds float64) func(*testing.T) float64 {
	return func(t *testing.T) float64 {
		p := must[MassFraction](t)(q.MassFraction())
		d := must[Density](t)(DensityOf(p, ProofBase))
		m := must[Kilograms](t)(MassOfWeighed(Kilograms(pounds*kilogramsPerPound), d))
		return float64(must[Amount](t)(AmountOfMass(m, p)).ProofGallons())
	}
}
