package journeys

import (
	"fmt"
	"sort"
	"strings"
	"testing"

	"example.org/croze/internal/walk"
)

// TestFromWishToBottles makes an impossible wish on a telephone in the demo,
// repairs it in two taps, makes the blend at the vat, and labels 24 bottles.
func TestFromWishToBottles(t *testing.T) {
	t.Parallel()
	p := start(t, "demo")
	b := p.tab(t, walk.Phone)
	b.wishTooMuch(p)
	b.Says(".answer", "There is no such plan")
	b.looks("wish-impossible")
	b.follow(".repairs a.button")
	b.Says(".answer h2", "The plan")
	b.looks("wish-repaired")
	b.write("plan_name", "Spring bottling")
	b.follow(`form[action="/bench/keep"] button`)
	b.Says("main", "The plan is kept.")
	b.looks("vat")
	b.gaugeTheVat()
	b.writeDownTheMaking()
	b.looks("vat-made")
	b.follow(`a.button[href$="/bottling"]`)
	b.write("most_0", "24")
	b.follow(`form.unprinted button.second`)
	b.Says(".answer h2", "24 bottles")
	b.looks("bottling")
	b.follow("#record .primary")
	b.Says("main", "24 × 0.7 L")
	b.looks("lot")
	sheet := walk.Ask[string](b, `document.querySelector('a[href*="copies=24"]').getAttribute("href")`)
	if pdf, kind := p.get(t, sheet); kind != "application/pdf" || !strings.HasPrefix(string(pdf), "%PDF") {
		t.Errorf("the labels are %s", kind)
	}
	b.open("/book/check")
	b.Says("main", "Sound")
}

// looks checks how a page is for everyone, where it stands.
func (b *tab) looks(name string) {
	b.T.Helper()
	b.picture("bench-" + name)
	b.axe(allRules)
	b.fits("")
}

// wishTooMuch asks two vessels of middling content for far more than they hold.
func (b *tab) wishTooMuch(p program) {
	b.T.Helper()
	var codes []string
	for code, line := range stockOf(b.T, p) {
		if line.VolumeL > 20 && line.VolumeL < 50 && line.StrengthPct > 55 {
			codes = append(codes, code)
		}
	}
	sort.Strings(codes)
	if len(codes) < 2 {
		b.T.Fatalf("only %d vessels hold 20 to 50 L", len(codes))
	}
	b.open("/bench")
	b.write("volume_l", "900")
	b.write("strength_pct", "46")
	b.Do(press("#sources > summary"))
	for _, code := range codes[:2] {
		b.Do(press(`input[name="use"][value="` + code + `"]`))
	}
	b.looks("wish")
	b.follow(".primary")
}

// gaugeTheVat reads more than was planned and is told how much water that wants.
func (b *tab) gaugeTheVat() {
	b.T.Helper()
	b.write("gauged_pct", "46.9")
	b.follow("#trim button")
	b.Says("#trim", "of water")
}

// writeDownTheMaking writes the planned figures as if they had been measured,
// with a little more water.
func (b *tab) writeDownTheMaking() {
	b.T.Helper()
	boxes := walk.Ask[[][]string](b, `[...document.querySelectorAll('#record input[placeholder]')]
		.filter(i => i.name.startsWith("weighs_kg_") || i.name.startsWith("water_kg_"))
		.filter(i => i.placeholder !== "").map(i => [i.name, i.placeholder])`)
	if len(boxes) < 2 {
		b.T.Fatalf("the form asks for %v", boxes)
	}
	for _, box := range boxes {
		b.write(box[0], box[1])
	}
	b.write(fmt.Sprintf("water_kg_%d", len(walk.Ask[[]string](b, `[...document.querySelectorAll('[name^="water_kg_"]')].map(i => i.name)`))-1), "0.05")
	b.follow("#record .primary")
	b.Says("main", "Recorded, with what was measured.")
}
