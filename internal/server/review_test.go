package server_test

import (
	"encoding/csv"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/demo"
	"example.org/croze/internal/journal"
)

// reviewAddresses are those of the owner's desk.
func (n names) reviewAddresses() map[string]string {
	onDesk, err := theDesk()
	if err != nil {
		panic(err) // the demo did not open, which every test here says
	}
	return map[string]string{
		"/vessels/file":  "/vessels/file?as=xlsx&kind=cask",
		"/review/values": "/review/values",
		"/review":        "/review?by=age",
		"/trials":        "/trials",
		"/trials/:id":    "/trials/" + onDesk.trial,
		"/tastings":      "/tastings?test=triangle&able=30",

		"/review/ready":    "/review/ready",
		"/v/:code/ready":   "/v/" + url.PathEscape(n.filled) + "/ready",
		"/v/:code/names":   "/v/" + url.PathEscape(n.filled) + "/names",
		"/l/:lot/names":    "/l/" + url.PathEscape(n.lot) + "/names",
		"/plans/:id/names": "/plans/" + n.plan + "/names",

		"/tastings/:id":        "/tastings/" + onDesk.tasting,
		"/tastings/:id/sheets": "/tastings/" + onDesk.tasting + "/sheets",
		"/review/flow":         "/review/flow?of=lot:" + url.QueryEscape(n.lot),
	}
}

// onTheDesk are IDs of what the demo's desk has.
type onTheDesk struct{ trial, tasting string }

var theDesk = sync.OnceValues(func() (ids onTheDesk, err error) {
	h, err := theDemo()
	if err != nil {
		return ids, err
	}
	err = h.book.Glance(book.Moment{}, func(v *book.View) error {
		ids = onTheDesk{v.State.Desk.Trials[0].Entry.ID, v.State.Desk.Plans[0].Entry.ID}
		return nil
	})
	return ids, err
})

func TestStockPageFiltersSortsAndGroups(t *testing.T) {
	h := demoHouse(t)
	all := h.get("/vessels?group=kind&sort=volume&col=volume&col=rate&col=batch")
	for _, want := range []string{"By kind", "Against its like", `aria-sort="descending"`, "cask", "hybrid", "jar", "tank"} {
		if !all.says(want) {
			t.Errorf("the stock page does not say %q", want)
		}
	}
	if all.says("Drift, % vol a year</a></th>") {
		t.Error("a column is shown that was not chosen")
	}
	for address, want := range map[string]string{
		"/vessels?age_from=two":       "age_from",
		"/vessels?strength_to=x":      "strength_to",
		"/vessels?sort=beauty":        "use one of",
		"/vessels?group=colour":       "use one of",
		"/vessels?from=-1":            "whole number",
		"/vessels?on=2026-02-30":      "not a date",
		"/vessels/file?as=pdf":        "use csv or xlsx",
		"/vessels/file?as=csv&rows=x": "whole number",
	} {
		if a := h.get(address); a.status != http.StatusUnprocessableEntity || !a.says(want) {
			t.Errorf("%s: status %d, and it does not say %q", address, a.status, want)
		}
	}
	if a := h.get("/vessels?from=100000"); a.status != http.StatusOK || !a.says("No vessel here") {
		t.Errorf("beyond the last page: status %d", a.status)
	}
}

// The file has the rows of the page, all pages of it, in the same order.
func TestStockFileIsTheView(t *testing.T) {
	h := demoHouse(t)
	a := h.get("/vessels/file?as=csv&kind=cask&sort=strength&col=strength")
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(a.body, "\ufeff"))).ReadAll()
	must(t, err)
	if got := strings.Join(rows[0], ","); got != "vessel,on,kind,strength_pct,strength_sd,basis" {
		t.Errorf("the columns are %s", got)
	}
	var want []string
	must(t, h.book.Glance(book.Moment{}, func(v *book.View) error {
		for _, r := range v.Query(book.StockQuery{Kind: "cask", Sort: "strength", Down: true}).Rows {
			want = append(want, r.Vessel)
		}
		return nil
	}))
	if len(rows)-1 != len(want) {
		t.Fatalf("%d rows, want %d", len(rows)-1, len(want))
	}
	for i, code := range want {
		if rows[i+1][0] != code {
			t.Errorf("row %d is %s, want %s", i+1, rows[i+1][0], code)
		}
	}
}

func TestViewsAreKept(t *testing.T) {
	h := smallHouse(t)
	h.unchanged("keeping a view", func() answer {
		return h.post("/vessels/views", []string{"name", "strong casks", "query", "kind=cask&strength_from=60"})
	})
	if a := h.get("/vessels"); !a.says("strong casks") || !a.says("/vessels?kind=cask&strength_from=60") {
		t.Error("the view is not offered")
	}
	if a := h.post("/vessels/views", []string{"name", "", "query", "kind=cask"}); a.status != http.StatusUnprocessableEntity {
		t.Errorf("a view without a name: status %d", a.status)
	}
	if a := h.post("/vessels/views", []string{"name", "x", "query", strings.Repeat("a", 3000)}); a.status != http.StatusUnprocessableEntity {
		t.Errorf("a view too long: status %d", a.status)
	}
	if a := h.post("/vessels/views", []string{"name", "elsewhere", "query", "//elsewhere.example"}); a.header.Get("Location") != "/vessels?//elsewhere.example" {
		t.Errorf("a view leads to %q", a.header.Get("Location"))
	}
	if a := h.post("/vessels/views", []string{"name", "split", "query", "a=1\r\nX-Typed: yes\r\n\r\n<b>"}); a.status != http.StatusUnprocessableEntity || a.header.Get("X-Typed") != "" {
		t.Errorf("a line break in a view: status %d, %v", a.status, a.header)
	}
	h.post("/vessels/views/drop", []string{"name", "strong casks"})
	if h.get("/vessels").says("strong casks") {
		t.Error("the view is still offered")
	}
}

func TestValuesPage(t *testing.T) {
	h := smallHouse(t)
	if a := h.post("/review/values", []string{"of", "cask", "per_l", "30"}); a.status != http.StatusSeeOther {
		t.Fatalf("status %d: %s", a.status, a.body)
	}
	h.post("/review/values", []string{"vessel", "rye-1", "per_l", "42.5"})
	if a := h.get("/review/values"); !a.says("42.50") || !a.says("30.00") {
		t.Error("the values are not shown")
	}
	if a := h.get("/vessels"); !a.says("Value") {
		t.Error("the stock page has no column of values")
	}
	for want, fields := range map[string][]string{
		"per_l":          {"of", "cask", "per_l", "much"},
		"of":             {"of", "bucket", "per_l", "1"},
		"no such vessel": {"vessel", "NONE", "per_l", "1"},
		"name a vessel":  {"vessel", rye, "of", "cask", "per_l", "1"},
		"must be 0":      {"of", "cask", "per_l", "-2"},
	} {
		a := h.unchanged(want, func() answer { return h.post("/review/values", fields) })
		if a.status/100 != 4 || !a.says(want) {
			t.Errorf("%v: status %d, and it does not say %q", fields, a.status, want)
		}
	}
}

// BenchmarkLargeStock times pages of the stock at 100 000 vessels, handler and
// template included; each should take less than 100 ms once the table is made.
func BenchmarkLargeStock(b *testing.B) {
	kept := journal.NewMemory()
	must(b, demo.Large(kept, 100_000, 1, today, ids(3)))
	h, err := open(kept, true)
	must(b, err)
	h.t = b
	h.book.Prepare() // as the program does before it is open
	for _, address := range []string{
		"/vessels", "/vessels?sort=strength", "/vessels?kind=cask&wood=oak&sort=loss", "/vessels?group=place",
		"/vessels?find=" + url.QueryEscape("run 17"), "/vessels?from=90000", "/review", "/book", "/api/stock?count=100",
	} {
		b.Run(fmt.Sprint(address), func(b *testing.B) {
			h.t = b
			for b.Loop() {
				if a := h.get(address); a.status != http.StatusOK {
					b.Fatalf("status %d", a.status)
				}
			}
		})
	}
}

// Row and tier are told when a vessel is registered and when it is moved, and
// are seen on its page and on the place map.
func TestRowAndTier(t *testing.T) {
	h := smallHouse(t)
	registered := h.post("/vessels/new", []string{"code", "W-1", "kind", "cask", "capacity_l", "50", "place", "loft", "row", "C", "tier", "top"})
	if registered.status != http.StatusSeeOther || !h.get("/v/W-1").says("row C, tier top") {
		t.Fatalf("registered: status %d: %s", registered.status, registered.body)
	}
	if a := h.post("/v/W-1/edit", []string{"kind", "cask", "capacity_l", "50", "place", "loft", "row", "D", "tier", "top"}); a.status != http.StatusSeeOther || !h.get("/v/W-1").says("row D, tier top") {
		t.Errorf("corrected: status %d: %s", a.status, a.body)
	}
	if a := h.post("/v/"+rye+"/log/move", []string{"place", "loft", "row", "7", "tier", "2"}); a.status != http.StatusSeeOther || !h.get("/v/"+rye).says("row 7, tier 2") {
		t.Errorf("moved: status %d: %s", a.status, a.body)
	}
	if a := h.get("/review"); !a.says("Row 7") {
		t.Error("the place map has no row 7")
	}
	blank := h.unchanged("a blank capacity", func() answer {
		return h.post("/vessels/new", []string{"code", "W-2", "kind", "cask", "capacity_l", ""})
	})
	if !blank.says("is blank: say how many litres it holds") {
		t.Errorf("a blank capacity is answered with %s", blank.body)
	}
}

// A new book says what to do next, up to the label and the first sample, and
// pages that have nothing to show say so.
func TestANewBookLeadsOn(t *testing.T) {
	h := emptyHouse(t)
	for address, want := range map[string]string{
		"/vessels": "register the first", "/labels": "register the first", "/rounds": "nothing to walk to",
		"/review": "No vessel holds anything", "/bench": "nothing to plan with",
	} {
		if a := h.get(address); !a.says(want) {
			t.Errorf("%s does not say %q", address, want)
		}
	}
	h.post("/vessels/new", []string{"code", "C-1", "kind", "cask", "capacity_l", "50"})
	h.post("/spirits/new", []string{"batch", "Rye 1", "volume_l", "60", "strength_pct", "62", "grains", "rye:1"})
	if a := h.get("/v/C-1/log/fill"); !strings.Contains(a.body, `name="from" list="sources" value="Rye 1"`) {
		t.Error("the one batch there is does not stand in the form")
	}
	if a := h.post("/v/C-1/log/fill", []string{"from", "Rye 1", "volume_l", "48"}); a.status != http.StatusSeeOther {
		t.Fatalf("filling: status %d: %s", a.status, a.body)
	}
	if a := h.get("/"); !a.says("Label C-1") || !a.says("Sample C-1") || !a.says("1 filled") {
		t.Error("Today does not lead on to the label and the first sample")
	}
	h.post("/v/C-1/log/sample", []string{"strength", "61.9", "scale", "corrected"})
	if a := h.get("/"); a.says("Begin here") {
		t.Error("the first steps are still there after the first sample")
	}
}
