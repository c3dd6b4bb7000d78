package gauge

import (
	"math"
	"strings"
	"testing"

	"example.org/croze/internal/published"
)

// inches builds a shape from the measures of an old table.
func inches(p Profile, bung, head, length float64) Shape {
	return Shape{p, Inches(bung).Centimetres(), Inches(head).Centimetres(), Inches(length).Centimetres()}
}

// cubicInches is the whole content in the unit of the old tables.
func cubicInches(t failer, s Shape) float64 {
	t.Helper()
	const litresPerCubicInch = 0.016387064
	return float64(must[litresT](t)(s.Volume())) / litresPerCubicInch
}

// The old table of capacities, bung diameter and length of one inch, imperial
// gallons of 277.274 cubic inches as then reckoned. A unit of the seventh
// decimal, the last one printed; two cells are unreadable in the scan.
func TestCapacitiesOfCasks(t *testing.T) {
	columns := map[Profile]string{
		Spheroid:    "var1_spheroid_imp_gal",
		Spindle:     "var2_parabolic_spindle_imp_gal",
		Paraboloids: "var3_paraboloids_imp_gal",
		Cones:       "var4_cones_imp_gal",
	}
	unreadable := 0
	for _, r := range published.Rows(t, "cask_capacity_table.csv") {
		ratio := r.Number(t, "head_over_bung_ratio")
		for profile, column := range columns {
			if r[column] == "?" {
				unreadable++
				continue
			}
			// Ten inches, for the inside of a cask has to be of a size.
			got := cubicInches(t, inches(profile, 10, 10*ratio, 10)) / 1000 / 277.274
			near(t, string(profile)+" "+r["head_over_bung_ratio"], got, r.Number(t, column), 1e-7)
		}
	}
	if unreadable != 2 {
		t.Errorf("%d unreadable cells, want 2", unreadable)
	}
}

// The worked examples of the old gaugers. An example that divides by a gallon
// does so with a rounded factor ("0.0009¼ for ale"), and the example's own is
// used, so that what is compared is the shape: then results worked with the pen
// must agree to the last digit printed. Results read off a sliding rule are good
// to 1 in 250: the arithmetic printed beside them differs by up to 0.34 %.
func TestContentsOfTheGaugers(t *testing.T) {
	// Each rule is a sum of squares times length times a factor; a spheroid's sum
	// is 12/π of the cubic content, and so is the spindle's, the third form's 8/π.
	forms := map[string]struct {
		profile          Profile
		units, ale, wine float64
	}{
		"spheroid": {Spheroid, 12 / math.Pi, 0.000925, 0.0034 / 3},
		"2nd form": {Spindle, 12 / math.Pi, 0.000925, 0.0034 / 3},
		"3rd form": {Paraboloids, 8 / math.Pi, 0.0014, 0.0017},
	}
	examples := 0
	for _, r := range published.Rows(t, "cask_gauging_examples.csv") {
		if r["use"] != "check" {
			if r["why_not"] == "" {
				t.Errorf("%s is not used and does not say why", r["id"])
			}
			continue
		}
		if !strings.HasPrefix(r["kind"], "content, ") {
			continue // checked below, one by one
		}
		examples++
		_, form, _ := strings.Cut(strings.TrimSuffix(r["kind"], ")"), "(")
		if form == "" {
			form = strings.TrimPrefix(r["kind"], "content, ")
		}
		rule := forms[form]
		s := inches(rule.profile, r.Number(t, "bung_in"), r.Number(t, "head_in"), r.Number(t, "length_in"))
		factor := rule.wine
		if strings.HasPrefix(r["unit"], "ale") {
			factor = rule.ale
		}
		want := r.Number(t, "printed_result")
		within := 0.0005 // half a unit of the third decimal
		if strings.Contains(r["check"], "sliding rule") {
			within = want / 250
		}
		near(t, r["id"]+" "+r["kind"], cubicInches(t, s)*rule.units*factor, want, within)
	}
	if examples != 10 {
		t.Errorf("%d examples, want C01 to C10", examples)
	}
}

// example finds a row by its number.
func example(t *testing.T, id string) published.Row {
	t.Helper()
	for _, r := range published.Rows(t, "cask_gauging_examples.csv") {
		if r["id"] == id {
			return r
		}
	}
	t.Fatalf("no example %s", id)
	return nil
}

// The cask of all these examples: 118.80 wine gallons by the gaugers' reckoning.
var gaugersCask = inches(Spheroid, 32, 24, 40)

// C12: a cylinder of the mean diameter H + 0.7(B - H) for a much curved cask.
// The rule is one of thumb: 0.5 % is what it misses the spheroid by at the
// proportions of casks.
func TestMeanDiameter(t *testing.T) {
	r := example(t, "C12")
	b, h := r.Number(t, "bung_in"), r.Number(t, "head_in")
	mean := h + 0.7*(b-h)
	near(t, "mean diameter", mean, r.Number(t, "printed_result"), 1e-9)
	drum := cubicInches(t, inches(Cylinder, mean, mean, r.Number(t, "length_in")))
	spheroid := cubicInches(t, gaugersCask)
	near(t, "cylinder of the mean diameter", drum, spheroid, 0.005*spheroid)

	// C20: cylinder of the mean diameter 19 by 28 in; 34.37 gallons is computed, not printed.
	near(t, "C20", cubicInches(t, inches(Cylinder, 19, 19, 28))/231, 34.37, 0.005)

	// G20 of the US manual: 0.0034·D²·L wine gallons, printed to four decimals.
	near(t, "G20", cubicInches(t, inches(Cylinder, 10, 10, 10))/231/1000, 0.0034, 0.00005)
}

// C18: a cylinder of 25 in, read on a gauge line as 1.745 ale gallons an inch;
// the line is good to 1 in 250, as a sliding rule.
func TestCylinderOfTheGaugeLine(t *testing.T) {
	r := example(t, "C18")
	want := r.Number(t, "printed_result")
	near(t, "C18", cubicInches(t, inches(Cylinder, 25, 25, r.Number(t, "length_in")))/282, want, want/250)
}

// C13 to C15: the gaugers' rule for the wet part. The rule itself is worked
// here and must give the print; the integral must agree with the rule within
// 0.5 % of the cask, as the rule stands for all casks of whatever curve.
func TestUllageRules(t *testing.T) {
	const content = 118.80
	for _, c := range []struct {
		id       string
		position Position
		wet      float64
		whole    float64 // inches, the depth of the cask
		part     float64 // of the difference from one half
	}{
		{"C13", Lying, 15, 32, 1.0 / 4},
		{"C14", Lying, 17, 32, 1.0 / 4},
		{"C15", Standing, 21, 40, 1.0 / 10},
	} {
		printed := example(t, c.id).Number(t, "printed_result")
		q := c.wet / c.whole
		rule := content * (q + c.part*(q-0.5))
		near(t, c.id+" by the rule", rule, printed, 0.0005)
		wet := must[litresT](t)(gaugersCask.Content(c.position, Inches(c.wet).Centimetres()))
		full := must[litresT](t)(gaugersCask.Volume())
		near(t, c.id+" by integration", content*float64(wet/full), printed, 0.005*content)
	}
}
