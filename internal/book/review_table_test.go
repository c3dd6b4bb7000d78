package book_test

import (
	"math"
	"slices"
	"testing"

	"example.org/croze/internal/book"
	"example.org/croze/internal/cellar"
	"example.org/croze/internal/demo"
	"example.org/croze/internal/journal"
)

func (h *house) glance(q book.StockQuery) book.StockPage {
	h.t.Helper()
	var page book.StockPage
	h.must(h.Glance(book.Moment{}, func(v *book.View) error {
		page = v.Query(q)
		return nil
	}))
	return page
}

// estimated waits for the estimator.
func (h *house) estimated() {
	h.t.Helper()
	h.must(h.See(book.Moment{}, func(*book.View) error { return nil }))
	h.Wait()
}

// The table says what the stock says, for every vessel of the demo.
func TestTableAgreesWithStock(t *testing.T) {
	h := demoToSee(t)
	h.estimated()
	page := h.glance(book.StockQuery{Empty: true})
	var stock []book.StockLine
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		stock = v.Stock()
		return nil
	}))
	if len(page.Rows) != len(stock) || page.Unread != 0 {
		t.Fatalf("%d rows, %d unread; the stock has %d lines", len(page.Rows), page.Unread, len(stock))
	}
	for i, row := range page.Rows {
		line := stock[i]
		if row.Vessel != line.Vessel || row.VolumeL != line.VolumeL || row.StrengthPct != line.StrengthPct || !slices.Equal(row.Flags, line.Flags) {
			t.Errorf("row %+v, line %+v", row.StockLine, line)
		}
	}
}

// What a naive loop finds, the table finds.
func TestQueriesAgainstANaiveLoop(t *testing.T) {
	h := demoToSee(t)
	h.estimated()
	all := h.glance(book.StockQuery{}).Rows
	years := func(x float64) *float64 { return &x }
	for name, c := range map[string]struct {
		q    book.StockQuery
		take func(book.TableRow) bool
	}{
		"kind":     {book.StockQuery{Kind: "jar"}, func(r book.TableRow) bool { return r.Kind == "jar" }},
		"wood":     {book.StockQuery{Wood: "acacia"}, func(r book.TableRow) bool { return r.Wood == "acacia" }},
		"grain":    {book.StockQuery{Grain: "rye"}, func(r book.TableRow) bool { return r.Grains["rye"] > 0 }},
		"age":      {book.StockQuery{MinAge: years(2), MaxAge: years(4)}, func(r book.TableRow) bool { y := float64(r.YoungestDays) / 365.25; return y >= 2 && y <= 4 }},
		"strength": {book.StockQuery{MinStrength: years(55)}, func(r book.TableRow) bool { return r.StrengthPct >= 55 }},
		"flag":     {book.StockQuery{Flag: "leak_suspected"}, func(r book.TableRow) bool { return slices.Contains(r.Flags, "leak_suspected") }},
	} {
		page := h.glance(c.q)
		var want []string
		var volume float64
		for _, r := range all {
			if c.take(r) {
				want = append(want, r.Vessel)
				volume += r.VolumeL
			}
		}
		var got []string
		for _, r := range page.Rows {
			got = append(got, r.Vessel)
		}
		h.holdsTheSum(page)
		if !slices.Equal(got, want) || math.Abs(page.Total.VolumeL-volume) > 1e-6 || page.Found != len(want) || len(want) == 0 {
			t.Errorf("%s: found %v, %.3f L; want %v, %.3f L", name, got, page.Total.VolumeL, want, volume)
		}
	}
}

func TestSortsAndPages(t *testing.T) {
	h := demoToSee(t)
	h.estimated()
	for _, column := range book.StockColumns {
		up := h.glance(book.StockQuery{Sort: column}).Rows
		down := h.glance(book.StockQuery{Sort: column, Down: true}).Rows
		if len(up) != len(down) || len(up) == 0 {
			t.Fatalf("%s: %d rows one way, %d the other", column, len(up), len(down))
		}
	}
	byLoss := h.glance(book.StockQuery{Sort: "loss", Down: true})
	for i := 1; i < len(byLoss.Rows); i++ {
		if byLoss.Rows[i].LossPctPerYear > byLoss.Rows[i-1].LossPctPerYear {
			t.Errorf("%s loses more than %s before it", byLoss.Rows[i].Vessel, byLoss.Rows[i-1].Vessel)
		}
	}
	var paged []string
	for from := 0; from < byLoss.Found+7; from += 7 {
		for _, r := range h.glance(book.StockQuery{Sort: "loss", Down: true, From: from, Count: 7}).Rows {
			paged = append(paged, r.Vessel)
		}
	}
	for i, r := range byLoss.Rows {
		if paged[i] != r.Vessel {
			t.Fatalf("page by page the %d. is %s, not %s", i, paged[i], r.Vessel)
		}
	}
}

// Groups add up to the whole, also those that a vessel has shares in.
func TestGroupsAddUp(t *testing.T) {
	h := demoToSee(t)
	h.estimated()
	for _, group := range book.StockGroups {
		page := h.glance(book.StockQuery{Group: group})
		var alcohol float64
		for _, g := range page.Groups {
			alcohol += g.PureAlcoholL
		}
		if math.Abs(alcohol-page.Total.PureAlcoholL) > 1e-6*alcohol || len(page.Groups) < 2 {
			t.Errorf("by %s: %.4f L in %d groups, %.4f in all", group, alcohol, len(page.Groups), page.Total.PureAlcoholL)
		}
	}
}

func TestValues(t *testing.T) {
	h := demoHouse(t)
	h.estimated()
	jar := h.glance(book.StockQuery{Kind: "jar"}).Rows[0]
	h.must(h.SetValue("", "keeper", cellar.Value{Of: cellar.Jar, PerL: 20}))
	h.must(h.SetValue("", "keeper", cellar.Value{Vessel: jar.Vessel, PerL: 90}))
	page := h.glance(book.StockQuery{Kind: "jar", Sort: "per_l", Down: true})
	if first := page.Rows[0]; first.Vessel != jar.Vessel || first.PerL != 90 || page.Rows[1].PerL != 20 {
		t.Errorf("worth most is %s at %g, then %g", first.Vessel, first.PerL, page.Rows[1].PerL)
	}
	want := 0.0
	for _, r := range page.Rows {
		want += r.Value()
	}
	if math.Abs(page.Total.Value-want) > 1e-6 {
		t.Errorf("the jars are worth %.2f, want %.2f", page.Total.Value, want)
	}
	h.must(h.SetValue("", "keeper", cellar.Value{Vessel: jar.Vessel, PerL: 0}))
	if again := h.glance(book.StockQuery{Find: jar.Vessel}).Rows[0]; again.PerL != 20 {
		t.Errorf("taken back, its kind's value holds: %g", again.PerL)
	}
	if err := h.SetValue("", "keeper", cellar.Value{Of: "bucket", PerL: 1}); cellar.KindOf(err) != cellar.Invalid {
		t.Errorf("a bucket has a value: %v", err)
	}
}

// largeHouse is a book of many vessels.
func largeHouse(t testing.TB, vessels int) *house {
	t.Helper()
	c := new(clock).on("2026-11-25")
	kept := journal.NewMemory()
	if err := demo.Large(kept, vessels, 1, c.now, c.edge().NewID); err != nil {
		t.Fatal(err)
	}
	b, err := book.Open(kept, c.edge())
	if err != nil {
		t.Fatal(err)
	}
	return &house{b, t, c}
}

// A large stock is shown before the estimator has read it, and says so; then
// the figures become estimates by themselves, and an entry changes its vessel's.
func TestLargeTableComesByAndBy(t *testing.T) {
	h := largeHouse(t, 450)
	q := book.StockQuery{Sort: "strength", Down: true, Count: 10}
	if first := h.glance(q); len(first.Rows) != 10 || first.Found < 400 || first.Total.VolumeL <= 0 {
		t.Fatalf("the first page has %d rows of %d", len(first.Rows), first.Found)
	}
	h.Wait()
	whole := h.glance(book.StockQuery{})
	if whole.Unread != 0 {
		t.Fatalf("%d rows are still unread", whole.Unread)
	}
	h.holdsTheSum(whole)
	code := whole.Rows[0].Vessel
	h.does("2026-11-24", cellar.Request{Entry: "draw", Vessel: code, VolumeL: ptr(1.0)})
	after := h.glance(book.StockQuery{Find: code}).Rows[0]
	if after.VolumeL >= whole.Rows[0].VolumeL-0.9 || after.Basis != book.ByFit {
		t.Errorf("after drawing a litre of %.2f it holds %.2f (basis %d)", whole.Rows[0].VolumeL, after.VolumeL, after.Basis)
	}
	h.must(func() error {
		_, err := h.RegisterNewVessel("", "keeper", cellar.Vessel{Code: "NEW-1", Kind: cellar.Tank, CapacityL: 10})
		return err
	}())
	if found := h.glance(book.StockQuery{Find: "new-1", Empty: true}); found.Found != 1 || found.All != 451 {
		t.Errorf("a new vessel: found %d of %d", found.Found, found.All)
	}
}

// holdsTheSum: the sum's ± is what the estimator says of all together, to the
// rounding in which the rows keep their parts.
func (h *house) holdsTheSum(page book.StockPage) {
	h.t.Helper()
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		var codes []string
		for _, r := range page.Rows {
			codes = append(codes, r.Vessel)
		}
		want := v.Total(codes).VolumeL.SD
		if got := page.Total.VolumeSDL; !(want > 0) || math.Abs(got-want) > 1e-3*want {
			h.t.Errorf("the sum of %d rows is ± %g L, and the estimator says ± %g", len(codes), got, want)
		}
		return nil
	}))
}

// A group's ± is what the estimator says of its vessels together.
func TestGroupsHaveTheirSpread(t *testing.T) {
	h := demoToSee(t)
	h.estimated()
	page := h.glance(book.StockQuery{Group: "kind"})
	h.must(h.See(book.Moment{}, func(v *book.View) error {
		for _, group := range page.Groups {
			var codes []string
			for _, r := range page.Rows {
				if r.Kind == group.Name {
					codes = append(codes, r.Vessel)
				}
			}
			want := v.Total(codes).VolumeL.SD
			if !(want > 0) || math.Abs(group.VolumeSDL-want) > 1e-3*want {
				t.Errorf("%s: ± %g L, and the estimator says ± %g", group.Name, group.VolumeSDL, want)
			}
		}
		return nil
	}))
	if len(page.Groups) != 4 {
		t.Errorf("%d groups", len(page.Groups))
	}
}
