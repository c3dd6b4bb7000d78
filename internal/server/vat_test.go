package server_test

import (
	"math"
	"net/http"
	"strings"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
)

const vatWish = "volume_l=20&strength_pct=46&water=1&objective=oldest_first&use=" + rye + "&use=" + oat

// The sheet says draws by weight and by volume at the vessel's temperature, and
// water in steps with a rest, in measures where the measure is small.
func TestTheWorkSheet(t *testing.T) {
	h := smallHouse(t)
	must(t, h.book.RegisterPlace("", "keeper", cellar.Place{Name: "Lower store", TempC: number(9)}))
	vat := h.keep(t, vatWish, "spring")
	a := h.get(vat)
	for _, want := range []string{"Draw, in this order", "at 9 °C", "Add water", "24 hours", "Rest, filter, bottle", "gives off vapour", "rests until"} {
		if !a.says(want) {
			t.Errorf("the sheet does not say %q", want)
		}
	}
	if warmer := h.get(vat + "?at:" + rye + "=25&measure_l=7&rest_hours=48&most_drop=4"); !warmer.says("at 25 °C") || !warmer.says("3 equal measures") || !warmer.says("48 hours") || !warmer.says("Water 4") {
		t.Error("the conditions do not change the sheet")
	}
	for _, bad := range []string{"?at:" + rye + "=hot", "?measure_l=-1", "?other_c=99", "?most_drop=x"} {
		if a := h.get(vat + bad); a.status != http.StatusUnprocessableEntity || !strings.Contains(a.body, `class="problem"`) || !a.says("Draw, in this order") {
			t.Errorf("%s: status %d", bad, a.status)
		}
	}
	if a := h.get("/plans/none"); a.status != http.StatusNotFound {
		t.Errorf("a plan that is not kept: status %d", a.status)
	}
}

func TestTheTrim(t *testing.T) {
	h := smallHouse(t)
	vat := h.keep(t, vatWish, "spring")
	for query, want := range map[string]string{
		"gauged_pct=46.8&gauged_l=19.6":                          "of water",
		"gauged_pct=46":                                          "It is right",
		"gauged_pct=45":                                          "water cannot help",
		"gauged_pct=45&trim_from=" + rye:                         "on a balance) of <span class=\"code\">" + rye,
		"gauged_pct=48&trim_from=" + rye:                         "it cannot bring the vat",
		"gauged_pct=45&gauged_l=18&to_volume=1&trim_from=" + rye: "of water",
		"gauged_pct=46.8&raw=1":                                  "needs the temperature",
		"gauged_pct=44.4&raw=1&gauged_c=15":                      "of water",
		"gauged_pct=45&trim_from=NONE":                           "no vessel of this code",
		"gauged_pct=46.8&gauged_l=19.6&gauged_c=12":              "of water",
	} {
		if a := h.get(vat + "?" + query); a.status != http.StatusOK || !a.says(want) {
			t.Errorf("%s: status %d, and it does not say %q", query, a.status, want)
		}
	}
}

// makingOf fills in the form of the vat: 14.2 L by weight and volume, and water.
func (h house) makingOf(t *testing.T, vat string, more ...string) []string {
	t.Helper()
	a := h.get(vat)
	form := answer{body: a.body[strings.Index(a.body, `/made#record"`):]}
	return append([]string{
		"id", form.field(t, "id"), "gauge_id", form.field(t, "gauge_id"), "rest_id", form.field(t, "rest_id"),
		"row_0", "plan", "from_0", rye, "weighs_kg_0", "9.5", "strength_pct_0", "62",
		"row_1", "plan", "from_1", oat, "volume_l_1", "3.9", "temp_c_1", "10", "strength_pct_1", "61", "all_1", "1",
		"row_2", "spare", "from_2", "", "row_3", "spare", "from_3", "",
		"water_0", "1", "water_kg_0", "2.5", "water_1", "1", "water_kg_1", "1.25", "into", spare,
	}, more...)
}

// What is posted is what was measured, and the plan stays beside it.
func TestTheVatPostsWhatWasMeasured(t *testing.T) {
	h := smallHouse(t)
	vat := h.keep(t, vatWish, "spring")
	fields := h.makingOf(t, vat, "vat_pct", "48.7", "rest_to", "2026-12-20", "note", "slow")
	if a := h.post(vat+"/made", fields); a.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", a.status, a.body)
	}
	h.unchanged("the same making again", func() answer { return h.post(vat+"/made", fields) })
	must(t, h.book.See(book.Moment{}, func(v *book.View) error {
		line, err := v.FindPlan(strings.TrimPrefix(vat, "/plans/"))
		must(t, err)
		if line.Waiting() {
			t.Fatal("the plan still waits")
		}
		f := line.MadeBy.Fact.(*cellar.Blend)
		if f.Into != spare || f.Plan != line.Entry.ID || len(f.Draws) != 2 || f.Note != "slow" {
			t.Errorf("the blend is %+v", f)
		}
		weighed := float64(f.Draws[0].Measure.NetKg)
		if weighed != 9.5 || f.Draws[0].Measure.StrengthPct != 62 || !f.Draws[1].Empties || float64(f.Draws[1].Measure.VolumeL) != 3.9 {
			t.Errorf("the draws are %+v", f.Draws)
		}
		// 3.75 kg on a balance in air are 3.75 · (1 - 1.2/8000)/(1 - 1.2/998.2) in vacuum.
		if water := float64(f.Water.Mass()); math.Abs(water-3.75395) > 1e-4 {
			t.Errorf("the water is %g kg", water)
		}
		if aims := v.Aims(); len(aims) != 1 || aims[0].Vessel != spare || aims[0].For != cellar.AimBottle {
			t.Errorf("the aims are %+v", aims)
		}
		last := v.State.Vessels[spare].Events
		if reading := last[1].Reading; reading == nil || reading.StrengthPct != 48.7 {
			t.Errorf("the gauge is %+v", reading)
		}
		return nil
	}))
	if today := h.get("/"); today.says("To the vat") {
		t.Error("Today still shows the plan that was made")
	}
	a := h.get(vat)
	if !a.says("Made on 2026-11-25") || !a.says("Bottle it") || !a.says("measured, L at 20 °C") || a.says("Record it") {
		t.Error("the page does not show the plan beside what was made")
	}
}

// makingRefusals must not be saved.
var makingRefusals = []struct {
	what   string
	change []string
	says   string
}{
	{"nothing measured", []string{"weighs_kg_0", ""}, "write what was really drawn"},
	{"a word", []string{"weighs_kg_0", "some"}, `"some"`},
	{"less than nothing", []string{"weighs_kg_0", "-2"}, "-2"},
	{"weight and volume", []string{"volume_l_0", "10"}, "not both"},
	{"more than there is", []string{"weighs_kg_0", "90"}, rye},
	{"water below nothing", []string{"water_kg_1", "-1"}, "-1"},
	{"a vessel that is not empty enough", []string{"into", "NONE"}, "NONE"},
	{"an impossible strength", []string{"strength_pct_0", "162"}, "162"},
	{"no day", []string{"rest_to", "later"}, "later"},
	{"in the future", []string{"when", "2027-01-01"}, "future"},
}

func TestMakingsThatAreRefused(t *testing.T) {
	h := smallHouse(t)
	vat := h.keep(t, vatWish, "spring")
	for _, bad := range makingRefusals {
		fields := changed(h.makingOf(t, vat), bad.change)
		a := h.unchanged(bad.what, func() answer { return h.post(vat+"/made", fields) })
		if a.status < 400 || a.status > 499 || !a.says(bad.says) {
			t.Errorf("%s: status %d, and it does not say %q", bad.what, a.status, bad.says)
		}
		if a.status == http.StatusUnprocessableEntity && !a.says(`value="2.5"`) {
			t.Errorf("%s: what was typed is gone", bad.what)
		}
	}
	a := h.unchanged("a plan that is not kept", func() answer { return h.post("/plans/none/made", h.makingOf(t, vat)) })
	if a.status != http.StatusNotFound {
		t.Errorf("a plan that is not kept: status %d", a.status)
	}
}

// changed sets fields to other values, or adds them.
func changed(fields, change []string) []string {
	out := append([]string{}, fields...)
	for i := 0; i+1 < len(change); i += 2 {
		at := -1
		for k := 0; k+1 < len(out); k += 2 {
			if out[k] == change[i] {
				at = k
			}
		}
		if at < 0 {
			out = append(out, change[i], change[i+1])
			continue
		}
		out[at+1] = change[i+1]
	}
	return out
}
