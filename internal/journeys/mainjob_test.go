package journeys

import (
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.org/croze/internal/cellar"
	"example.org/croze/internal/spirit"
	"example.org/croze/internal/walk"
)

// TestMainJob does, on a telephone and from an empty store, what the program
// is for.
func TestMainJob(t *testing.T) {
	t.Parallel()
	p := start(t, "serve", "--data", filepath.Join(t.TempDir(), "store"))
	b := p.tab(t, walk.Phone)
	b.open("/")
	b.Says("main", "Nothing has been filled yet.")
	b.picture("01-empty")
	b.registerPlace("Lower store", "12", "80")
	first := b.registerVessel("cask", "30", "9.5")
	second := b.registerVessel("jar", "6", "")
	vat := b.registerVessel("tank", "45", "")
	b.registerBatch("Rye 1", "40", "62.4")
	b.fill(first, "Rye 1", "28", "62.4")
	b.fill(second, "Rye 1", "5.5", "58")
	b.scanLabel(p, first)
	b.logSample(first)
	b.planBlend(p, first, second, vat)
	b.reviewStock(first, second, vat)
	b.takeBack(first)
	b.logWithoutScripts(p, second)
	b.open("/book/check")
	b.Says("main", "Sound")
}

func (b *tab) registerPlace(name, temperature, humidity string) {
	b.T.Helper()
	b.open("/places")
	b.write("place", name)
	b.write("temp_c", temperature)
	b.write("humidity_pct", humidity)
	b.follow(".primary")
	b.Says("main", "Registered.")
	b.Says("table", name)
}

// registerVessel lets the program issue a code and returns it.
func (b *tab) registerVessel(kind, capacity, tare string) (code string) {
	b.T.Helper()
	b.open("/vessels/new")
	b.Do(press(`input[name="kind"][value="` + kind + `"]`))
	b.write("capacity_l", capacity)
	if tare != "" {
		b.write("tare_kg", tare)
	}
	if kind != "tank" {
		b.write("wood", "oak")
		b.choose("wood_state", "used")
	}
	b.write("place", "Lower store")
	b.picture("02-register-" + kind)
	b.follow(".primary")
	b.Says("main", "Registered.")
	code = b.Text("h1 .code")
	if written, own, err := cellar.ParseCode(code); err != nil || !own || written != code {
		b.T.Errorf("the code issued is %q, which is not of the book's own form: %v", code, err)
	}
	return code
}

func (b *tab) registerBatch(name, litres, strength string) {
	b.T.Helper()
	b.open("/spirits/new")
	b.write("batch", name)
	b.write("volume_l", litres)
	b.write("strength_pct", strength)
	b.write("grains", "rye:0.8;oat:0.2")
	b.picture("03-batch")
	b.follow(".primary")
	b.Says("h1", name)
}

func (b *tab) fill(code, from, litres, strength string) {
	b.T.Helper()
	b.open("/v/" + code)
	b.follow(`a.button[href$="/log/fill"]`)
	b.write("from", from)
	b.choose("scale", "corrected")
	b.write("strength", strength)
	b.write("volume_l", litres)
	b.picture("04-fill")
	b.follow(".primary")
	b.Says("main", "Saved.")
	b.Says(".history", from)
}

// scanLabel prints a vessel's label, takes a picture of the sheet, reads the
// square code in it with another program, and opens what it holds.
func (b *tab) scanLabel(p program, code string) {
	b.T.Helper()
	b.open("/labels?code=" + code)
	b.picture("05-labels")
	sheet := walk.Ask[string](b, `(() => { const f = document.querySelector("form.entry");
		return new URL(f.action).pathname + "?" + new URLSearchParams(new FormData(f)); })()`)
	pdf, kind := p.get(b.T, sheet)
	if kind != "application/pdf" {
		b.T.Fatalf("%s is %s", sheet, kind)
	}
	dir := b.T.TempDir()
	walk.Must(b.T, os.WriteFile(filepath.Join(dir, "sheet.pdf"), pdf, 0o600))
	output(b.T, "pdftoppm", "-r", "200", "-png", "-singlefile", filepath.Join(dir, "sheet.pdf"), filepath.Join(dir, "sheet"))
	held := strings.TrimSpace(output(b.T, "zbarimg", "--quiet", "--raw", filepath.Join(dir, "sheet.png")))
	if !strings.EqualFold(held, p.Base+"/v/"+code) {
		b.T.Fatalf("the label holds %q", held)
	}
	at := len(p.Base)
	b.open(held[at:])
	b.Says("h1 .code", code)
	b.picture("06-vessel")
}

func output(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).Output()
	if err != nil {
		t.Fatalf("%s %s: %v", name, strings.Join(args, " "), err)
	}
	return string(out)
}

// logSample reads the alcoholometer at 15 °C, sees what that is at 20 °C while
// typing, and finds it in the history.
func (b *tab) logSample(code string) {
	b.T.Helper()
	hydrometer := spirit.Hydrometer{Scale: spirit.ScaleStrength, Base: spirit.Reference}
	corrected, _, err := hydrometer.Strength(hydrometer.Observed(60.3, 15))
	walk.Must(b.T, err)
	shown := strconv.FormatFloat(float64(corrected), 'f', 1, 64) + " % vol"
	b.open("/v/" + code)
	b.follow(`a.button[href$="/log/sample"]`)
	b.Do(press(".tools summary")) // the scale of the fill was remembered
	b.choose("scale", "vol")
	b.write("strength", "60.3")
	b.write("temp_c", "15")
	b.Becomes(`document.querySelector(".preview").textContent.startsWith("` + shown + ` at 20 °C")`)
	b.write("drawn_ml", "50")
	b.picture("07-sample")
	b.follow(`.pad button[data-key="save"]`)
	b.Says("main", "Saved.")
	b.Says(".history li:first-child", shown)
	b.picture("08-sampled")
}

// planBlend plans more litres at 46 % than either vessel makes alone, checks
// the sums and records them.
func (b *tab) planBlend(p program, first, second, vat string) {
	b.T.Helper()
	stock := stockOf(b.T, p)
	b.open("/bench")
	b.write("volume_l", "42")
	b.write("strength_pct", "46")
	for _, code := range []string{first, second} {
		b.Do(press(`input[name="use"][value="` + code + `"]`))
	}
	b.picture("09-bench")
	b.follow(".primary")
	b.Says(".answer h2", "The plan")
	b.picture("10-plan")
	rows := walk.Ask[[][]string](b, `[...[...document.querySelectorAll(".answer table")].find(t => t.tFoot).rows].slice(1).map(
		r => [...r.cells].map(c => c.textContent.trim()))`)
	b.checkPlan(rows, stock, first, second)
	b.choose("into", vat)
	b.follow(`form[action="/bench/record"] .primary`)
	b.Says("main", "Saved.")
	b.Says("h1 .code", vat)
	b.Says(".figures", "46.0")
	b.picture("11-blended")
}

// stockOf is every vessel's line, by code.
func stockOf(t *testing.T, p program) map[string]stockLine {
	t.Helper()
	body, _ := p.get(t, "/api/stock")
	var lines []stockLine
	walk.Must(t, json.Unmarshal(body, &lines))
	stock := make(map[string]stockLine)
	for _, l := range lines {
		stock[l.Vessel] = l
	}
	return stock
}

type stockLine struct {
	Vessel      string  `json:"vessel"`
	VolumeL     float64 `json:"volume_l"`
	StrengthPct float64 `json:"strength_pct"`
}

// checkPlan adds the draws and the water up by mass, as the page prints them.
// Litres are printed to 0.01 and kilograms to 0.001, which is what the sums may
// be out by for each row.
func (b *tab) checkPlan(rows [][]string, stock map[string]stockLine, codes ...string) {
	b.T.Helper()
	var total spirit.Amount
	drawn := make(map[string]bool)
	for _, row := range rows {
		litres, kilograms := figure(b.T, row[1]), figure(b.T, row[2])
		switch row[0] {
		case "makes":
			b.checkMade(total, litres, kilograms)
		case "water":
			water, err := spirit.Water(spirit.Kilograms(kilograms))
			walk.Must(b.T, err)
			near(b.T, "litres of the water", litres, float64(water.Volume()), 0.006)
			total = total.Add(water)
		default:
			q := spirit.Strength(stock[row[0]].StrengthPct)
			drawn[row[0]] = true
			a, err := spirit.AmountOf(spirit.Litres(litres), q)
			walk.Must(b.T, err)
			near(b.T, "kilograms from "+row[0], kilograms, float64(a.Mass()), 0.006)
			total = total.Add(a)
		}
	}
	for _, code := range codes {
		if !drawn[code] {
			b.T.Errorf("nothing is drawn from %s: %v", code, rows)
		}
	}
}

func (b *tab) checkMade(total spirit.Amount, litres, kilograms float64) {
	b.T.Helper()
	near(b.T, "litres made", litres, 42, 0.0051)
	near(b.T, "litres of the sum", float64(total.Volume()), 42, 0.02)
	near(b.T, "strength of the sum", float64(total.Strength()), 46, 0.03)
	near(b.T, "kilograms of the sum", kilograms, float64(total.Mass()), 0.02)
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %g, want %g within %g", what, got, want, within)
	}
}

// figure is the number that a cell begins with.
func figure(t *testing.T, cell string) float64 {
	t.Helper()
	text, _, _ := strings.Cut(cell, " ")
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatalf("the cell %q has no number", cell)
	}
	return x
}

func (b *tab) reviewStock(codes ...string) {
	b.T.Helper()
	b.open("/vessels?empty=1")
	for _, code := range codes {
		b.Says(".stock", code)
	}
	b.Says("tfoot", "3 of 3")
	b.picture("12-stock")
}

// takeBack voids the sample and sees that it no longer counts.
func (b *tab) takeBack(code string) {
	b.T.Helper()
	b.open("/v/" + code)
	b.follow(`.history .kind-sample a`)
	b.write("reason", "read upside down")
	b.picture("13-take-back")
	b.follow(".danger")
	b.Says("main", "Taken back by entry")
	b.open("/v/" + code)
	if there := walk.Ask[int](b, `document.querySelectorAll(".history .kind-sample").length`); there != 0 {
		b.T.Errorf("%s still shows %d samples", code, there)
	}
}
